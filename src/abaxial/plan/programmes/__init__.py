"""What one might do with a planting in the coming weeks."""
