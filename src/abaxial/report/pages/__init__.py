"""Pages: an answer becomes a list of blocks, once for every rendering."""
