"""What happened and what was said, as entries that are never changed, and the garden they add up to."""
