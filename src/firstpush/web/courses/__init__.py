"""Courses: laid out for the athletes chosen on a floor, the club's own, how fast each athlete is, times measured."""
