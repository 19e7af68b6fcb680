"""The plan of a garden: what is proposed, and what it comes to."""
