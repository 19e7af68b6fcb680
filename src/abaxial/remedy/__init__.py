"""What one can do about rust, and what that does to it."""
