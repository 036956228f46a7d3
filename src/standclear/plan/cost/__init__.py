"""What a part costs, from its time and its metal."""
