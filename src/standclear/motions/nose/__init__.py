"""Nose compensation: the programmed contour to the path that the control drives instead.

`pieces` are the lines and arcs of a contour, `joints` where their offsets meet, `path` the whole
way with entry and exit, `tips` the places that a control numbers as tip directions.
"""
