"""Who is here on a day, and the sessions made for each athlete."""
