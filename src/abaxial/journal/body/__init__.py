"""What the bodies of entries hold, field by field."""
