"""Looking at leaves: how many, what was seen, how it went."""
