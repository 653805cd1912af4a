/* The clock of one exercise: sets, holds, sides, directions, lengths and pauses, told by text, beep, voice and shake. */

import {
  clockAhead,
  clockBack,
  lookAtClock,
  makeSchedule,
  pausedClock,
  resumedClock,
  startedClock,
} from "./clockwork.js";
import { clockWords, el, head, press, upper } from "./dom.js";

/** The clock of a session; what it holds is kept, so that a page that was closed goes on where the clock stands. */
export class SessionTimer {
  /** @param {{keep: (held: object|null) => void, stepsOf: (exercise: string, variant: string) => object[]}} given */
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
    this.schedule = makeSchedule(this.stepsOf(held.exercise, held.variant));
    this.held = held;
    this.told = lookAtClock(held.clock, this.schedule, Date.now()).told;
  }

  /** Start the clock of an exercise, unless it runs already. */
  start(exercise, variant) {
    if (this.isOf(exercise, variant)) return;
    this.schedule = makeSchedule(this.stepsOf(exercise, variant));
    this.#hold({ exercise, variant, clock: startedClock(Date.now()) });
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

  stop() {
    this.schedule = this.told = null;
    this.#hold(null);
  }

  #hold(held) {
    this.held = held;
    this.keep(held);
  }
}

/** Seconds of what is going on, as they stand large on the screen. */
export function secondsShown(told) {
  return Math.ceil(told.phaseSecondsLeft ?? told.secondsLeft);
}

/** What goes on, in a few words. */
export function phaseWords(told) {
  if (told.over) return "Done";
  const side = told.side ? `, ${told.side} side` : "";
  if (told.kind !== "set") return `${upper(told.kind)}${side}`;
  if (told.repetition) return `${upper(told.phase ?? "set")} · ${told.repetition} of ${told.repetitions}${side}`;
  if (told.round) return `${upper(told.unit ?? "round")} ${told.round} of ${told.rounds}${told.direction ? `, ${told.direction}` : ""}`;
  return `${upper(told.phase ?? "set")}${side}`;
}

/** The screen of the clock. */
export function timerScreen(court, item) {
  const { timer } = court;
  const variant = court.state.variantOf(item.exercise);
  timer.start(item.exercise, variant);
  const large = el("div", { role: "timer", "aria-live": "off" });
  const phase = el("p.phase");
  const after = el("p.after");
  const buttons = el("div.actions");

  court.eachTick(() => {
    const { told } = timer;
    if (!told) return;
    large.textContent = told.over ? "0" : told.span?.waits ? "…" : clockWords(secondsShown(told)).replace(/^0:0?/, "");
    phase.textContent = phaseWords(told);
    after.textContent = told.span?.waits ? `${told.words}. Press “Next” when it is done.` : `${told.words}${told.kind === "set" && told.secondsLeft > secondsShown(told) ? ` · ${clockWords(told.secondsLeft)} left in the set` : ""}`;
  });

  function draw() {
    buttons.replaceChildren(
      timer.told?.over
        ? press("As planned, no pain", () => court.say("done", { exercise: item.exercise, as_planned: true, variant }), { look: "main" })
        : timer.running
          ? press("Pause", () => (timer.pause(), draw(), buttons.firstChild.focus()), { look: "main" })
          : press("Go on", () => (timer.goOn(), draw(), buttons.firstChild.focus()), { look: "main" }),
      press("Back", () => timer.back(), { small: "to the start of this" }),
      press("Next", () => (timer.ahead(), timer.look(), draw()), { small: "this is done" }),
      press("To the exercise", () => court.draw(), { small: "the clock goes on" }),
      press("Pain", () => court.show("pain", item)),
    );
  }
  draw();
  let wasOver = Boolean(timer.told?.over);
  let wasRunning = timer.running;
  court.eachTick(() => {
    const over = Boolean(timer.told?.over);
    if (over !== wasOver || timer.running !== wasRunning) draw();
    wasOver = over;
    wasRunning = timer.running;
  });
  return [head(item.variants[variant].title), el("div.clock", {}, phase, large, after), buttons];
}
