"""Sound cues of a course: when to count, go, brake, turn, pull back and end, and the same as a sound file."""

from __future__ import annotations

import io
import wave
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from firstpush.core.courses.course import Array, CourseError
from firstpush.core.courses.line import Line, Roll, Turn

CueKind = Literal["count", "go", "tick", "brake", "turn", "back", "end"]
CLOSEST = 0.4
"""No two cues are nearer than this: an ear takes them for one [s]."""
COUNT = 3
TICK_EVERY = 5.0
"""Between two ticks on a straight length [m]."""
LOUD = 0.95
"""Of full scale: a hall is loud, and 8 bits are best used whole."""
_FIRST_TO_STAY = ("go", "end", "back", "turn", "brake", "count", "tick")
_PITCH: dict[CueKind, tuple[float, float]] = {
    "count": (660.0, 0.12),
    "go": (990.0, 0.35),
    "tick": (440.0, 0.05),
    "brake": (330.0, 0.25),
    "turn": (550.0, 0.15),
    "back": (392.0, 0.25),
    "end": (880.0, 0.60),
}
"""Pitch [Hz] and length [s] of each sound."""


@dataclass(frozen=True, kw_only=True)
class Cue:
    """One sound: when, counted from the first of them [s], which, and what it says in words."""

    time: float
    kind: CueKind
    says: str


def cues_of(line: Line) -> tuple[Cue, ...]:
    """Return the cues of a line, the count before it first; go falls `COUNT` seconds after the first.

    Parameters
    ----------
    line : Line

    Returns
    -------
    tuple of Cue
        Rising; none nearer than `CLOSEST` to its neighbour.  Where two would be, the one that matters less is left out:
        a tick before a brake, a brake before a turn, anything before go and end.
    """
    wanted = [Cue(time=float(k), kind="count", says=str(COUNT - k)) for k in range(COUNT)]
    for number, piece in enumerate(line.pieces):
        at = COUNT + piece.begins
        if number == 0:
            wanted.append(Cue(time=at, kind="go", says="go"))
        if isinstance(piece, Turn):
            if number:
                wanted.append(Cue(time=at, kind="turn", says="turn left" if piece.angle > 0.0 else "turn right"))
        elif isinstance(piece, Roll):
            if number and piece.leg.backward:
                wanted.append(Cue(time=at, kind="back", says="pull back"))
            elif number:
                wanted.append(Cue(time=at, kind="go", says="go"))
            wanted += _on_the_way(piece, at)
    # A line shorter than an ear tells apart still has its go and its end.
    wanted.append(Cue(time=COUNT + max(line.duration, CLOSEST), kind="end", says="end"))
    kept: list[Cue] = []
    for cue in sorted(wanted, key=lambda each: (_FIRST_TO_STAY.index(each.kind), each.time)):
        if all(abs(cue.time - other.time) >= CLOSEST - 1e-9 for other in kept):
            kept.append(cue)
    return tuple(sorted(kept, key=lambda each: each.time))


def _on_the_way(roll: Roll, at: float) -> list[Cue]:
    """Return the ticks of a leg without cones, and where it begins to brake for its end."""
    found = []
    track, profile = roll.candidate.track, roll.profile
    if not roll.leg.passes and not roll.leg.backward:
        for mark in np.arange(TICK_EVERY, track.length - 0.5, TICK_EVERY):
            time = float(np.interp(mark, track.along, profile.time))
            found.append(Cue(time=at + time, kind="tick", says=f"{mark:g} m"))
    slows = np.diff(profile.speed) < -1e-6
    if slows[-1]:
        first = len(slows) - int(np.argmin(slows[::-1])) if not slows.all() else 0
        found.append(Cue(time=at + float(profile.time[first]), kind="brake", says="brake"))
    return found


RATE = 8000
"""Samples a second: four times the highest tone; a minute takes half a megabyte."""


def sound(cues: Sequence[Cue], *, rate: int = RATE) -> bytes:
    """Return the cues as the bytes of a WAV file: one channel, 8 bit, small enough for a phone at the side of a court.

    Parameters
    ----------
    cues : sequence of Cue
    rate : int
        Samples per second, 8000 to 48000; each sound begins within one sample of its time.

    Raises
    ------
    CourseError
        Without a cue, or for a rate that is none.
    """
    if not cues:
        raise CourseError("there is no cue to sound; allowed is one or more; make them from a line.")
    if not 8000 <= rate <= 48000:
        raise CourseError(f"{rate} samples per second cannot be written; allowed is 8000 to 48000; take {RATE}.")
    unknown = {cue.kind for cue in cues} - set(get_args(CueKind))
    if unknown:
        raise CourseError(f"there is no sound for {', '.join(sorted(unknown))}; allowed: {', '.join(_PITCH)}.")
    end = max(cue.time + _PITCH[cue.kind][1] for cue in cues) + 0.2
    samples = np.zeros(round(end * rate))
    for cue in cues:
        tone = _tone(*_PITCH[cue.kind], rate)
        first = round(cue.time * rate)
        samples[first : first + len(tone)] += tone
    whole = io.BytesIO()
    with wave.open(whole, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(1)
        file.setframerate(rate)
        # 8-bit samples of a WAV count from 0; silence is 128.
        file.writeframes((128 + np.rint(np.clip(samples, -1.0, 1.0) * 127)).astype(np.uint8).tobytes())
    return whole.getvalue()


def _tone(pitch: float, length: float, rate: int) -> Array:
    """Return a tone with an octave above it, swelling in 3 ms and fading: no click at either end."""
    t = np.arange(round(length * rate)) / rate
    swell = np.clip(t / 0.003, 0.0, 1.0) * np.clip((length - t) / (0.4 * length), 0.0, 1.0)
    return np.asarray(LOUD * swell * (0.75 * np.sin(2 * np.pi * pitch * t) + 0.25 * np.sin(4 * np.pi * pitch * t)))
