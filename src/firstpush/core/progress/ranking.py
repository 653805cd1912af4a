"""Which of the steps that can be done is the best: inside the window, little to change on court, near the aim."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from firstpush.core.progress.step import (
    MOST_HARDER,
    MOST_TIME,
    WHOLE_EXERCISE,
    WINDOWS,
    Direction,
    Size,
    Step,
    Window,
)

_ALIKE = (
    ("distance", "slack mark", "height"),
    ("ball mass",),
    ("added turn",),
    ("repetitions", "hold time", "tempo"),
    ("band", "strands"),
    ("links alone", "one arm"),
    (WHOLE_EXERCISE,),
)
"""Levers that cost alike on court; which group comes first, the file of the exercise says, but the same band stays."""


@dataclass(frozen=True, kw_only=True)
class Ranking:
    """How steps of one exercise in one direction are compared.

    Parameters
    ----------
    levers : tuple of str
        As the exercise lists them, the one to use first first.
    has_load : bool
        Whether a band loads it with a moment that is stated.
    """

    direction: Direction
    size: Size
    levers: tuple[str, ...]
    has_load: bool

    @property
    def window(self) -> Window:
        """The sizes wanted."""
        return WINDOWS[self.size]

    def first_choice(self, step: Step) -> bool:
        """Whether it is of the kind wanted: with pain the load itself must fall, where the exercise has a load."""
        return self.size != "after pain" or of_load(step) or not self.has_load

    def may_be_proposed(self, step: Step) -> bool:
        """Whether a step is small enough to be proposed at all."""
        if step.change is None or self.direction == "easier":
            return True
        most = MOST_HARDER.value if of_load(step) else MOST_TIME.value
        return all(change.value <= most + 1e-9 for change in step.changes.values())

    def in_order(self, steps: Sequence[Step]) -> list[Step]:
        """Return the steps, best first; of each set of levers the best alone."""
        found = sorted(steps, key=self._rank)
        if self.size == "after pain":
            found = self._with_less_of_it(found)
        first: dict[tuple[str, ...], Step] = {}
        for step in found:
            first.setdefault(step.levers, step)
        return list(first.values())

    def _with_less_of_it(self, steps: list[Step]) -> list[Step]:
        """Return `steps` with fewer repetitions added to the first where its load alone does not fall far enough."""
        if not steps or not of_load(steps[0]) or all(self.window.low <= -c.value for c in steps[0].changes.values()):
            return steps
        fewer = next((s for s in steps if s.inside and s.change is not None and s.change.of == "time"), None)
        if fewer is None:
            return steps
        both = replace(
            steps[0],
            levers=(*steps[0].levers, *fewer.levers),
            dose=fewer.dose,
            words=f"{steps[0].words} and {fewer.words} ({fewer.change_words})",
        )
        return [both, *steps]

    def _rank(self, step: Step) -> tuple[float, ...]:
        changes = [change.value for change in step.changes.values()]
        kind = 0.0 if self.first_choice(step) else 1.0
        whole = float(WHOLE_EXERCISE in step.levers)
        if not changes:
            return (1.0, 1.0, 9.0, 9.0, 9.0, 9.0)
        # What is inside by its value and not surely so stands between what is inside and what is not.
        outside = max(self.window.off(change) for change in changes) if not step.inside else -1.0
        aim = max(abs(abs(change) - self.window.aim) for change in changes)
        return (kind, whole, round(outside, 6), float(step.things_changed), self._place(step), aim)

    def _place(self, step: Step) -> float:
        """Return the place of a step's levers: the order of the file, with another band after what keeps the band."""
        places = []
        for lever in step.levers:
            group = next(each for each in _ALIKE if lever in each)
            listed = [self.levers.index(each) for each in group if each in self.levers]
            piece = len(self.levers) if lever in ("band", "strands") else 0
            places.append(piece + min(listed, default=2 * len(self.levers)))
        return float(max(places))


def of_load(step: Step) -> bool:
    """Whether a step changes a moment, and not only time, turn or weight."""
    return step.change is not None and step.change.of in ("moment", "turning load")
