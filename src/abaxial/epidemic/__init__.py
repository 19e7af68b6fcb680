"""How rust grows and spreads from day to day in a garden."""
