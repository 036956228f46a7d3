"""What a job takes: time, load and cost, from the same motions and the same remaining metal."""
