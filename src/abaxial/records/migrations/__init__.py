"""From one version of the tables to the next, always in one transaction."""
