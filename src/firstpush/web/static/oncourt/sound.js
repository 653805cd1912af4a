/* The sounds of a course: each begins at its time by the clock of the loudspeaker, so that a slow page delays none.
   Pitches and lengths are those of the sound file that the club can print out as WAV; nothing is fetched. */

/** Pitch (Hz) and length (s) of each kind of cue. */
export const CUE_TONES = {
  count: [660, 0.12],
  go: [990, 0.35],
  tick: [440, 0.05],
  brake: [330, 0.25],
  turn: [550, 0.15],
  back: [392, 0.25],
  end: [880, 0.6],
};
const CUE_LOUDNESS = 0.3;
const CUE_SWELL_S = 0.003;
// What is due within this time is handed to the loudspeaker; a page that is looked at five times a second is never late.
const CUE_AHEAD_MS = 1200;
// A clock that jumps by more than this was set back or ahead by a hand.
const CUE_JUMP_MS = 250;

/**
 * Let a cue sound at a time of the loudspeaker: a tone with its octave, without a click at either end.
 * @param {BaseAudioContext} speaker
 * @param {string} kind of cue
 * @param {number} at by `speaker.currentTime` (s)
 * @returns {AudioScheduledSourceNode[]} for stopping it
 */
export function soundCue(speaker, kind, at) {
  const [pitch, seconds] = CUE_TONES[kind];
  const whole = speaker.createGain();
  whole.gain.setValueAtTime(0, at);
  whole.gain.linearRampToValueAtTime(CUE_LOUDNESS, at + CUE_SWELL_S);
  whole.gain.setValueAtTime(CUE_LOUDNESS, at + 0.6 * seconds);
  whole.gain.linearRampToValueAtTime(0, at + seconds);
  whole.connect(speaker.destination);
  return [[pitch, 0.75], [2 * pitch, 0.25]].map(([frequency, share]) => {
    const source = speaker.createOscillator();
    const part = speaker.createGain();
    source.frequency.value = frequency;
    part.gain.value = share;
    source.connect(part).connect(whole);
    source.start(at);
    source.stop(at + seconds);
    return source;
  });
}

// What comes by itself from here: behind a step that a hand ends, nothing is known of the time.
function cuesAhead({ spans }, elapsedMs) {
  const open = spans.filter((each) => elapsedMs < each.endMs);
  const waits = open.findIndex((each) => each.waits);
  return (waits < 0 ? open : open.slice(0, waits)).flatMap((each) => each.cues ?? []);
}

/** Keeps the cues of the set in hand sounding as long as its clock runs, and silences them when it does not. */
export class CueTrack {
  constructor() {
    this.given = new Map();
    this.last = null;
  }

  /**
   * Look at a clock.
   * @param {BaseAudioContext|null} speaker null where nothing may sound
   * @param {{spans: object[]}|null} schedule
   * @param {{elapsedMs: number, running: boolean}|null} clock as it is now
   * @param {number} nowMs
   */
  follow(speaker, schedule, clock, nowMs) {
    if (!speaker || !schedule || !clock?.running) {
      this.stop();
      return;
    }
    const moved = this.last && Math.abs(clock.elapsedMs - this.last.elapsedMs - (nowMs - this.last.nowMs)) > CUE_JUMP_MS;
    if (moved) this.stop();
    this.last = { nowMs, elapsedMs: clock.elapsedMs };
    for (const cue of cuesAhead(schedule, clock.elapsedMs)) {
      const inMs = cue.atMs - clock.elapsedMs;
      // What is due at this look still sounds; what was due long before does not.
      if (inMs < -CUE_JUMP_MS || inMs > CUE_AHEAD_MS || this.given.has(cue)) continue;
      this.given.set(cue, soundCue(speaker, cue.kind, speaker.currentTime + Math.max(0, inMs) / 1000));
    }
  }

  /** Take back what has not sounded yet. */
  stop() {
    for (const source of [...this.given.values()].flat()) {
      try {
        source.stop();
      } catch {
        // One that has ended already cannot be stopped.
      }
    }
    this.given.clear();
    this.last = null;
  }
}
