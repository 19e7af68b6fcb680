"""What the rules of labels are checked against, and never used for a bed: cases told as numbers."""
