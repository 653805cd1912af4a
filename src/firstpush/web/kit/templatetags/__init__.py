"""How numbers of kit and venue are written on pages."""
