"""Cupboards and venues, each kept as the document of its file, and bands that were withdrawn."""
