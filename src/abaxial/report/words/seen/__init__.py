"""What is said of what was seen: how much shows, how much hides, what a walk taught and where to walk next."""
