"""What many small steps come to: the load and the time under load of now against those first known."""

from __future__ import annotations

from firstpush.core.progress.dose_steps import seconds_under_load
from firstpush.core.progress.step import OF_WORDS, Of
from firstpush.core.session.agreed import Agreed

WORTH_SAYING = 0.005
"""A change that would be written as 0 % is none [1]."""


def since_first(first: Agreed, then: Agreed, *, of: Of) -> str:
    """Return by how much an exercise has changed since its first known load, as a clause.

    Parameters
    ----------
    first : Agreed
        As it was done when its load was first known.
    then : Agreed
        As it will be done.
    of : str
        What the step that is talked about changes: a total of the same needs no name.

    Returns
    -------
    str
        "since 28 September +31 %"; empty where neither load nor time can be compared.
    """
    loads = [
        (each.load / then.share) / (begun.load / first.share) - 1.0
        for side, each in then.sides.items()
        if each.load and (begun := first.sides.get(side)) is not None and begun.load
    ]
    load = max(loads, key=abs, default=None)
    time = None
    if first.dose is not None and then.dose is not None:
        time = seconds_under_load(then.dose) / seconds_under_load(first.dose) - 1.0
    same = "load" if of in ("moment", "turning load") else OF_WORDS[of]
    parts = {
        name: f"{'+' if each >= 0 else '−'}{abs(100 * each):.0f} %"
        for name, each in (("load", load), ("time under load", time))
        if each is not None and (name == same or abs(each) >= WORTH_SAYING)
    }
    if not parts:
        return ""
    year = "" if first.since.year == then.since.year else f" {first.since.year}"
    alone = parts.keys() == {same}
    words = " and ".join(each if alone else f"{each} of the {name}" for name, each in parts.items())
    return f"since {first.since:%-d %B}{year} {words}"
