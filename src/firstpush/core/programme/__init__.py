"""The programme: which exercises on which day of the week, and how their loads go on over the weeks."""
