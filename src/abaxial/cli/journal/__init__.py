"""Commands that keep a garden's journal: the file it lies in, what is noted, what was seen on a walk."""
