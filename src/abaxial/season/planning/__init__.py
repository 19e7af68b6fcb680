"""What to do this week: from the estimate, the shelf, the labels and the hours there are to a plan."""
