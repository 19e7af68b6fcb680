"""Answers: one frozen object for each page."""
