"""The plan's own answers in the plain terms of published check values."""
