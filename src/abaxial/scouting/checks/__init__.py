"""What scouting is checked against, and never used for a bed: formulas for one number, asked for whole printed tables."""
