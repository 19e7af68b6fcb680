"""Where clumps come from, and what healthy stock there will be."""
