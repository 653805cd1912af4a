"""After a session: what the rule proposes, what the practitioner says to it, and what holds from then on."""
