"""What an exercise is, its loader, and the library (one TOML file an exercise, in `library/`)."""
