"""Figures: our own drawings, the same on page, paper and site."""
