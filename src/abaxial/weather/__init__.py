"""Hourly weather: read, doubted, filled, and carried on as members past what is known."""
