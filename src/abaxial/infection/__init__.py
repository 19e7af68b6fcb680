"""From wet spells to infections nobody has seen: response, spells, latency, and what is known of each rust."""
