"""Decisions: where the next minutes are worth most."""
