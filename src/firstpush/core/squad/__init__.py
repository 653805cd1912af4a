"""Several athletes at once: what their sessions want at the same time, and who starts when so that it suffices.

Public: `Claim`, `Resource`, `claims_of`, `supply`, `clashes`, `Clash`, `together_at_most`, `smallest_stagger`,
`Stagger`.  Sessions come in as documents; nothing here changes one.
"""

from firstpush.core.squad.claims import Claim, Resource, claims_of, supply, together_at_most
from firstpush.core.squad.clashes import Clash, clashes
from firstpush.core.squad.stagger import Stagger, smallest_stagger

__all__ = [
    "Claim",
    "Clash",
    "Resource",
    "Stagger",
    "claims_of",
    "clashes",
    "smallest_stagger",
    "supply",
    "together_at_most",
]
