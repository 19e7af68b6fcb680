"""The plants: how their leaves come, grow, age and fall."""
