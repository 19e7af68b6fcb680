"""What stands on the shelf, and what was done about rust with it and without."""
