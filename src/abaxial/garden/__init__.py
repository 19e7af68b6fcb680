"""What stands where: beds, plantings, what hides the sky, and the file that describes them."""
