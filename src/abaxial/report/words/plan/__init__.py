"""What to do and why: work, mixes, hours, reasons against, precautions, each in plain words."""
