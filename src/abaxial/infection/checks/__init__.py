"""What infection is checked against, and never used for a bed: published closed forms, and profiles asked for their facts."""
