"""In which hours spraying is allowed and of use, bed by bed, and what closes the others."""
