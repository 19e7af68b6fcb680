"""What was seen and done, as entries that are never changed, and the garden they amount to."""
