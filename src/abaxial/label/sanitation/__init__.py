"""Cleanliness: blades, cut leaves, the compost heap, the bin, the order of work, and plants that come from elsewhere."""
