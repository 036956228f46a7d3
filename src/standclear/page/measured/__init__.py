"""What has been measured: the first part, and a box of blanks."""
