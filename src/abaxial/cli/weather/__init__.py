"""The commands about weather: added, fetched, looked at, and what it wets."""
