"""What is allowed: bottles and their labels, mixing, hours, and cleanliness."""
