"""The athletes of a club, each kept as the document of its file."""
