"""What programmes would do to a planting: to its leaves, to its rust, and to the hours of whoever does them."""
