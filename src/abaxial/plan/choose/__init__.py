"""The choice: one programme for every planting, under what couples them."""
