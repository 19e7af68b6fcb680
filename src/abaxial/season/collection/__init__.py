"""The collection as it is asked about: healthy stock, what may be divided, where rust came from."""
