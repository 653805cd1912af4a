"""Somebody whose effort follows a law that the rules do not know, and what happens to them in eight weeks."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

EXERCISES = ("low_row", "external_rotation_side", "anti_rotation_press", "straight_arm_pull_back")
CAN_DO_ONCE = {
    "low_row": 14.0,
    "external_rotation_side": 9.0,
    "anti_rotation_press": 20.0,
    "straight_arm_pull_back": 22.0,
}
"""Load that somebody of this strength could do once [N·m], before the chance of the seed."""

Law = Callable[[float, float], float]
LAWS: dict[str, Law] = {
    "power": lambda share, times: 6 + 14 * share**1.4 * times**0.25,
    "threshold": lambda share, times: 6 + 14 * max(0.0, share - 0.2) / 0.8 * times**0.2,
    "saturating": lambda share, times: 6 + 14 / (1 + math.exp(-6 * (share * times**0.2 - 0.55))),
}
"""Effort from the share of what can be done once, and from how often it is done, in tens."""


@dataclass
class Trainee:
    """Somebody with a capacity for each exercise, which grows with fitting work and shrinks with too much."""

    law: Law
    capacity: dict[str, float]
    chance: np.random.Generator

    def effort(self, exercise: str, load: float, repetitions: int) -> int:
        """Return how hard a set feels, on a day that is better or worse than others."""
        form = 1.0 + 0.05 * self.chance.standard_normal()
        felt = self.law(load / (self.capacity[exercise] * form), repetitions / 10) + 0.6 * self.chance.standard_normal()
        return int(np.clip(round(felt), 6, 20))

    def train(self, exercise: str, effort: int) -> None:
        """Grow with fitting work, shrink with too much."""
        self.capacity[exercise] *= 1.012 if 12 <= effort <= 15 else 0.99 if effort > 17 else 1.004


# With life.
MISSED = ((4, 1),)
NO_TIME = ((1, 2, "straight_arm_pull_back"), (5, 2, "anti_rotation_press"))
PAIN = ((3, 0, "external_rotation_side"),)
"""With life: week and day from 0; the pain is familiar, at the arm that works, and above what is usual."""
