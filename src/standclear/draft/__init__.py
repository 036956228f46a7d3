"""A job from a program: facts of its text and motions, guesses from them, a job file to confirm.

program -> text facts, spans -> motions of each span -> guesses -> job file as text
"""
