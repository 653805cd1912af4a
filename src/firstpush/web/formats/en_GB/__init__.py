"""British English, with the clock of 24 hours."""
