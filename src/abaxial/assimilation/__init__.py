"""What was seen, weighed against what the weather allows: one estimate with its doubt."""
