"""What a day does to the leaves of one planting, row by row: spores land, tissue ages, people act."""
