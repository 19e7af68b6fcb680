"""The plan on the page: what to do, why, what not to do, and what it is reckoned from."""
