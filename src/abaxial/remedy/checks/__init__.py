"""What remedies are checked against, and never used for a planting: plain closed forms, and materials asked for their facts."""
