/* The clock of one exercise as a session holds it, and what it shows, in words; the screen is in `timer.js`. */

import {
  clockAhead,
  clockBack,
  lookAtClock,
  makeSchedule,
  pausedClock,
  resumedClock,
  startedClock,
} from "./clockwork.js";
import { clockWords, upper } from "./dom.js";

const SHORTEST_SHOWN_S = 1;

/** The clock of a session; what it holds is kept, so that a page that was closed goes on where the clock stands. */
export class SessionTimer {
  /**
   * `stepsOf` says which steps run now: of a first time one set at a time.
   * @param {{keep: (held: object|null) => void, stepsOf: (exercise: string, variant: string) => object[]}} given
   */
  constructor({ keep, stepsOf }) {
    this.keep = keep;
    this.stepsOf = stepsOf;
    this.held = null;
    this.schedule = null;
    this.told = null;
  }

  /** Take up a clock that was kept. */
  take(held) {
    if (!held) return;
    const schedule = makeSchedule(this.stepsOf(held.exercise, held.variant));
    // Kept for other steps than those that come now, it would stand in the middle of something else.
    if (held.totalMs !== undefined && held.totalMs !== schedule.totalMs) return;
    this.schedule = schedule;
    this.held = held;
    this.told = lookAtClock(held.clock, this.schedule, Date.now()).told;
  }

  /** Start the clock of an exercise, unless it runs already. */
  start(exercise, variant) {
    if (this.isOf(exercise, variant)) return;
    this.schedule = makeSchedule(this.stepsOf(exercise, variant));
    this.#hold({ exercise, variant, totalMs: this.schedule.totalMs, clock: startedClock(Date.now()) });
    this.look();
  }

  /** Whether the clock is that of this exercise. */
  isOf(exercise, variant = this.held?.variant) {
    return this.held?.exercise === exercise && this.held.variant === variant;
  }

  /** Whether it runs. */
  get running() {
    return Boolean(this.held?.clock.running);
  }

  /** Look at the clock: what is to be called out since the last look. */
  look() {
    if (!this.held) return [];
    const { clock, told, gap } = lookAtClock(this.held.clock, this.schedule, Date.now());
    this.held = { ...this.held, clock };
    this.told = told;
    if (gap) this.keep(this.held);
    return told.announcements;
  }

  pause() {
    this.#hold({ ...this.held, clock: pausedClock(this.held.clock, this.schedule, Date.now()) });
  }

  goOn() {
    this.#hold({ ...this.held, clock: resumedClock(this.held.clock, Date.now()) });
  }

  back() {
    this.#hold({ ...this.held, clock: clockBack(this.held.clock, this.schedule, Date.now()) });
  }

  ahead() {
    this.#hold({ ...this.held, clock: clockAhead(this.held.clock, this.schedule, Date.now()) });
  }

  /** What `clockShown` must know beside what is told: whether it runs, and which set of this side it is. */
  about() {
    const sets = this.schedule.spans.filter((each) => each.kind === "set" && each.side === this.told.side);
    return { running: this.running, sets: sets.length, setOfSide: sets.filter((each) => each.index <= (this.told.span?.index ?? 0)).length };
  }

  /** Seconds that are over of this exercise by its clock. */
  goneS(exercise) {
    return this.isOf(exercise) ? this.held.clock.elapsedMs / 1000 : 0;
  }

  stop() {
    this.schedule = this.told = null;
    this.#hold(null);
  }

  #hold(held) {
    this.held = held;
    this.keep(held);
  }
}

/**
 * What the clock shows: the same on its screen and under the name of an athlete who is not in hand.
 * @param {object} told from `lookAtClock`
 * @param {{dose_large: string}} variant whose words for the dose stand on the card
 * @param {{running: boolean, sets: number, setOfSide: number}} about from `SessionTimer.about`
 * @returns {{doing: string, time: string}} `time` is empty where a hand says when it is done
 */
export function clockShown(told, variant, about) {
  if (told.over) return { doing: "Done", time: "" };
  const side = told.side ? `${upper(told.side)} side` : "";
  const doing = upper([side, ...(told.kind === "set" ? setWords(told, variant, about) : [told.kind])].filter(Boolean).join(" · "));
  if (told.span.waits) return { doing, time: "" };
  const time = [told.repetition && !isQuick(told) ? told.phase : "", secondsWords(secondsShown(told))].filter(Boolean).join(" ");
  return { doing, time: about.running ? time : `paused at ${time}` };
}

function setWords(told, { dose_large: dose }, { sets, setOfSide }) {
  const set = sets > 1 ? `set ${setOfSide} of ${sets}` : "";
  // A first time has a range for a dose: where to stop within it is not for the clock to say.
  const of = dose.includes("×") ? ` of ${told.repetitions}` : "";
  const count = told.repetition ? `repetition ${told.repetition}${of}` : told.round ? `${told.unit === "length" ? "length " : ""}${told.round} of ${told.rounds}` : "";
  const found = [set, count, told.direction ?? ""].filter(Boolean);
  return found.length ? found : [told.phase === "hold" ? "hold" : "do it"];
}

// Movements of less than a second are not counted down: the number would only flicker.
function isQuick(told) {
  const phase = told.span.phases.find((each) => each.name === told.phase && (each.repetition ?? null) === told.repetition);
  return Boolean(phase) && phase.endMs - phase.startMs < SHORTEST_SHOWN_S * 1000;
}

function secondsShown(told) {
  return Math.ceil(isQuick(told) ? told.secondsLeft : told.phaseSecondsLeft || told.secondsLeft);
}

function secondsWords(seconds) {
  return seconds < 60 ? `${seconds} s` : clockWords(seconds);
}
