"""A drill on court: when each sound falls, by the core's own cues, what is called with it, and what is taken back."""

from __future__ import annotations

import io
import wave
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from court_engines import an_engine  # noqa: F401

import firstpush.demo
from firstpush.core.courses import sound
from firstpush.core.courses.cues import _PITCH
from firstpush.core.courses.drill import Drill, TimedDrill, drill_course, timed
from firstpush.core.people.athlete_file import load_athlete
from firstpush.web.oncourt.course_items import cue_rows

if TYPE_CHECKING:
    from court_engines import Engine

WITHIN_S = 0.005
SCHEDULE = """
(steps) => m.makeSchedule(steps).spans.map(({ cues, calls, phases, startMs }) => ({ cues, calls, phases, startMs }))
"""
FOLLOW = """
([steps, looks]) => {
  const given = [];
  const speaker = {
    destination: null,
    currentTime: 0,
    createGain: () => ({ gain: { setValueAtTime() {}, linearRampToValueAtTime() {} }, connect: (to) => to }),
    createOscillator: () => {
      const made = { frequency: {}, connect: (to) => to };
      made.start = (at) => given.push(Object.assign(made, { at, pitch: made.frequency.value }));
      made.stop = (at) => {
        if (at === undefined) made.stopped = true;
      };
      return made;
    },
  };
  const schedule = m.makeSchedule(steps);
  const track = new m.CueTrack();
  for (const [now, elapsed, running] of looks) {
    speaker.currentTime = now / 1000;
    track.follow(speaker, schedule, { elapsedMs: elapsed, running }, now);
  }
  return given.map(({ at, pitch, stopped }) => [at, pitch, stopped ?? false]);
}
"""
RENDER = """
async ([cues, seconds]) => {
  const speaker = new OfflineAudioContext(1, Math.ceil(seconds * 8000), 8000);
  for (const { kind, time_s } of cues) m.soundCue(speaker, kind, time_s);
  return Array.from((await speaker.startRendering()).getChannelData(0), (each) => Math.round(each * 1000) / 1000);
}
"""


def ladder() -> TimedDrill:
    """Return four push lanes of the demo athlete."""
    athlete = load_athlete(Path(firstpush.demo.__file__).parent / "club" / "athletes" / "runa_velde.toml")
    drill = Drill(layout="push-lanes", count=4, shares=(0.25, 0.5, 0.75, 1.0))
    return timed(drill_course(drill, chair=athlete.chair, name=athlete.name, areas=()))


def steps(of: TimedDrill) -> list[dict[str, Any]]:
    """Return the steps of two sets as in the package: from the pause before the second one on."""
    rows = list(cue_rows(of.cues, of.laid))
    return [
        {"kind": "pause", "seconds": 10, "side": None, "words": "Pause 10 s"},
        {"kind": "set", "seconds": of.laid.set_s, "side": None, "words": "set 1", "rounds": 4, "cues": rows},
        {"kind": "pause", "seconds": 40, "side": None, "words": "Pause 40 s"},
    ]


def onsets(samples: np.ndarray[Any, Any], rate: int, kinds: list[str]) -> list[float]:
    """Return when sounds begin: the first sample above silence after 50 ms without one [s]."""
    loud = np.flatnonzero(np.abs(samples) > 0.02)
    begins = loud[np.diff(loud, prepend=-rate) > 0.05 * rate]
    assert len(begins) == len(kinds)
    return [each / rate for each in begins.tolist()]


def test_the_page_knows_the_tones_of_the_sound_file(engine: Engine) -> None:
    """Pitch and length of each kind of cue are the same in both."""
    tones = engine.evaluate("() => m.CUE_TONES", None)
    assert {kind: tuple(each) for kind, each in tones.items()} == _PITCH


def test_each_cue_stands_at_its_time_in_the_clock(engine: Engine) -> None:
    """The set begins after 10 s; every cue of the core lies 10 s later, to the millisecond."""
    of = ladder()
    _, span, pause = engine.evaluate(SCHEDULE, steps(of))
    assert [each["kind"] for each in span["cues"]] == [cue.kind for cue in of.cues]
    assert [each["atMs"] for each in span["cues"]] == pytest.approx(
        [10_000 + 1000 * cue.time for cue in of.cues], abs=1
    )
    assert not pause["cues"]


def test_a_go_says_and_shows_how_hard(engine: Engine) -> None:
    """Four lengths with their effort; nothing but cues is called in the set, and a tick is heard only."""
    of = ladder()
    _, span, _ = engine.evaluate(SCHEDULE, steps(of))
    called = [each["words"] for each in span["calls"]]
    assert [each for each in called if each.startswith("Go")] == ["Go: 25 %", "Go: 50 %", "Go: 75 %", "Go: 100 %"]
    assert called[:3] == ["3", "2", "1"]
    assert called[-1] == "Done"
    assert not any("seconds left" in each or each == "5 m" for each in called)
    assert [(each["round"], each["direction"]) for each in span["phases"]] == [
        (1, "25 %"),
        (2, "50 %"),
        (3, "75 %"),
        (4, "100 %"),
    ]
    goes = [10_000 + 1000 * cue.time for cue in of.cues if cue.kind == "go"]
    # The first length begins with its count.
    assert [each["startMs"] for each in span["phases"]] == pytest.approx([10_000, *goes[1:]], abs=1)


def test_sounds_are_given_to_the_loudspeaker_at_their_time(engine: Engine) -> None:
    """Looks come every 200 ms and some up to 90 ms late: each sound is started within 5 ms of the core's time, once."""
    of = ladder()
    rng = np.random.default_rng(7)
    looks, now = [], 5_000.0
    while now < 10_000 + 1000 * of.laid.set_s:
        looks.append([now, now, True])
        now += 200 + float(rng.uniform(0, 90))
    found = engine.evaluate(FOLLOW, [steps(of), looks])
    heard = [(at, pitch) for at, pitch, _ in found[::2]]
    assert len(heard) == len(of.cues)
    for (at, pitch), cue in zip(heard, of.cues, strict=True):
        assert at == pytest.approx(10 + cue.time, abs=WITHIN_S)
        assert pitch == _PITCH[cue.kind][0]


def test_a_press_of_next_begins_with_the_count(engine: Engine) -> None:
    """Behind a step that a hand ends nothing is given ahead; looked at when it was pressed, the count comes at once."""
    of = ladder()
    by_hand = [{"kind": "set up", "seconds": 10, "side": None, "words": "Set up"}, *steps(of)[1:]]
    looks = [[at, min(at, 9_999), True] for at in range(9_000, 12_000, 200)]
    found = engine.evaluate(FOLLOW, [by_hand, looks])
    assert found == []
    found = engine.evaluate(FOLLOW, [by_hand, [*looks, [12_050, 10_000, True], [12_250, 10_200, True]]])
    assert [at for at, _, _ in found[::2]][:2] == pytest.approx([12.050, 13.050], abs=WITHIN_S)


def test_a_clock_that_stands_takes_back_what_has_not_sounded(engine: Engine) -> None:
    """Paused before the first go: what was given for later is stopped, and comes again when the clock goes on."""
    of = ladder()
    go = 10_000 + 1000 * next(cue.time for cue in of.cues if cue.kind == "go")
    looks = [[at, at, True] for at in np.arange(9_900, go - 500, 100).tolist()]
    looks += [[go - 400, go - 500, False], [go + 60_000, go - 500, True], [go + 60_100, go - 400, True]]
    found = engine.evaluate(FOLLOW, [steps(of), looks])
    goes = [(at, stopped) for at, pitch, stopped in found if pitch == _PITCH["go"][0]]
    assert [stopped for _, stopped in goes] == [True, False]
    assert goes[1][0] == pytest.approx((go + 60_500) / 1000, abs=WITHIN_S)


def test_what_is_heard_is_what_the_file_has(engine: Engine) -> None:
    """Both made into samples: every sound begins within 5 ms of that in the WAV, and of the core's time."""
    of = ladder()
    rows = list(cue_rows(of.cues, of.laid))
    kinds = [cue.kind for cue in of.cues]
    seconds = of.cues[-1].time + 1.0
    page = onsets(np.array(engine.evaluate(RENDER, [rows, seconds])), 8000, kinds)
    with wave.open(io.BytesIO(sound(of.cues))) as file:
        rate, width = file.getframerate(), file.getsampwidth()
        raw = file.readframes(file.getnframes())
    samples = np.frombuffer(raw, np.uint8 if width == 1 else "<i2").astype(float)
    samples = (samples - 128) / 127 if width == 1 else samples / 32767
    assert page == pytest.approx(onsets(samples, rate, kinds), abs=WITHIN_S)
    assert page == pytest.approx([cue.time for cue in of.cues], abs=WITHIN_S)
