"""The commands between two plans: the shelf, a mix, the hours, what was cut, what stock there is."""
