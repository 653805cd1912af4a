"""Tags of this folder."""
