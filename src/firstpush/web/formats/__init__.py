"""How days and times are written, for Django: a language of its own would write "5:18 p.m."."""
