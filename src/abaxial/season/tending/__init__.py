"""What is asked between two plans: the shelf, a mix, the hours, what was cut, what was done."""
