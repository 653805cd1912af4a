// What the clock of an exercise says: from its steps a schedule, and from a schedule and a time what to show and to call.
// Arithmetic on milliseconds only; times come in from `Date.now`, because other clocks may stand while a device sleeps.

const CALLED_SECONDS = [30, 10, 3, 2, 1];
// Where a hold or a set is shorter than this, calling out "10 seconds left" would talk through all of it.
const SHORTEST_CALLED_S = 20;
// Two looks at the clock lie far less apart, unless the page was asleep.
const GAP_MS = 5000;
const LATE_MS = 2000;
const ON_ITS_OWN = ["set", "pause"];

/**
 * Return the schedule of an exercise.
 * @param {{kind: string, seconds: number, side?: string|null, words: string, repetitions?: number|null, out_s?: number,
 *   hold_s?: number, back_s?: number, rounds?: number|null, rounds_words?: string}[]} steps as in the package
 * @returns {{spans: object[], totalMs: number}} one span for each step; `waits` where a hand says when it is done
 */
export function makeSchedule(steps) {
  const spans = [];
  let startMs = 0;
  let set = 0;
  for (const step of steps) {
    if (step.kind === "set") set += 1;
    const durationMs = Math.round(step.seconds * 1000);
    const span = {
      index: spans.length,
      kind: step.kind,
      words: step.words,
      side: step.side ?? null,
      set: step.kind === "set" ? set : null,
      waits: !ON_ITS_OWN.includes(step.kind),
      startMs,
      endMs: startMs + durationMs,
    };
    span.cues = cuesOf(step, span);
    span.phases = span.cues.length ? cuedPhases(step, span) : phasesOf(step, span);
    // Where cues say when to go, brake and turn, nothing else is called through them.
    span.calls = span.cues.length ? cueCalls(step, span) : [...startCalls(span), ...phaseCalls(span), ...countCalls(span)].sort((a, b) => a.atMs - b.atMs);
    spans.push(span);
    startMs = span.endMs;
  }
  const last = spans.at(-1);
  if (last) last.calls.push({ atMs: last.endMs, kind: "end", words: "Done" });
  return { spans, totalMs: startMs };
}

/**
 * Return when each round of a set ends, as shares of it. Lengths named with their speed ("lengths at 25, 50, 75, 100 %")
 * take time in proportion to 1/speed; every other round takes the same.
 * @param {number} rounds
 * @param {string} roundsWords
 * @returns {number[]} increasing, the last is 1
 */
export function roundEnds(rounds, roundsWords = "") {
  const speeds = roundsWords.includes("%") ? (roundsWords.match(/\d+/g) ?? []).map(Number) : [];
  const parts = speeds.length === rounds && speeds.every((each) => each > 0) ? speeds.map((each) => 1 / each) : Array(rounds).fill(1);
  const total = parts.reduce((sum, each) => sum + each, 0);
  let before = 0;
  return parts.map((each, index) => (index === rounds - 1 ? 1 : (before += each / total)));
}

// What sounds in a set of push lanes, counted from its start.
function cuesOf(step, span) {
  const cues = step.kind === "set" ? (step.cues ?? []) : [];
  return cues.map(({ time_s, kind }) => ({ kind, atMs: span.startMs + Math.round(time_s * 1000) }));
}

function cueCalls(step, span) {
  return step.cues.map(({ kind, words }, index) => ({ atMs: span.cues[index].atMs, kind: "cue", cue: kind, words })).filter((each) => each.words);
}

// A length begins with its go and lasts to the next one; the first begins with the count before it.
function cuedPhases(step, span) {
  const goes = step.cues.map((each, index) => ({ ...each, atMs: span.cues[index].atMs })).filter((each) => each.kind === "go");
  return goes.map(({ atMs, effort }, index) => ({
    name: "length",
    startMs: index ? atMs : span.startMs,
    endMs: goes[index + 1]?.atMs ?? span.endMs,
    round: index + 1,
    rounds: goes.length,
    unit: "length",
    direction: effort ?? null,
  }));
}

function phasesOf(step, span) {
  if (step.kind !== "set") return [];
  const durationMs = span.endMs - span.startMs;
  if (step.repetitions) return repetitionPhases(step, span, durationMs);
  const words = step.rounds_words ?? "";
  const turns = words.includes("other way round");
  if (step.rounds > 1) {
    const unit = words.startsWith("lengths") ? "length" : "round";
    let startMs = span.startMs;
    return roundEnds(step.rounds, words).map((share, index) => {
      const endMs = span.startMs + Math.round(share * durationMs);
      const direction = turns ? directionOf(index) : null;
      const phase = { name: unit, startMs, endMs, round: index + 1, rounds: step.rounds, unit, direction };
      startMs = endMs;
      return phase;
    });
  }
  const direction = turns ? directionOf(span.set - 1) : null;
  const name = step.rounds ? "round" : "hold";
  return [{ name, startMs: span.startMs, endMs: span.endMs, direction }];
}

function directionOf(index) {
  return index % 2 ? "the other way round" : "one way round";
}

function repetitionPhases(step, span, durationMs) {
  const parts = [
    ["out", step.out_s],
    ["hold", step.hold_s],
    ["back", step.back_s],
  ].filter(([, seconds]) => seconds > 0);
  const eachMs = parts.reduce((sum, [, seconds]) => sum + seconds * 1000, 0);
  if (!eachMs) return [{ name: "repetitions", startMs: span.startMs, endMs: span.endMs, repetitions: step.repetitions }];
  const phases = [];
  let startMs = span.startMs;
  for (let repetition = 1; repetition <= step.repetitions; repetition += 1) {
    for (const [name, seconds] of parts) {
      const endMs = Math.min(span.endMs, startMs + seconds * 1000);
      phases.push({ name, startMs, endMs, repetition, repetitions: step.repetitions });
      startMs = endMs;
    }
  }
  // Steps are rounded up to whole seconds: what is left over belongs to the last way back.
  if (span.startMs + durationMs > startMs) phases.at(-1).endMs = span.endMs;
  return phases;
}

function startCalls(span) {
  return [{ atMs: span.startMs, kind: span.kind === "set" ? "begin" : "step", words: span.words }];
}

function phaseCalls(span) {
  return span.phases.flatMap((phase, index) => {
    const first = index === 0;
    if (phase.repetition) {
      const opens = first || span.phases[index - 1].repetition !== phase.repetition;
      const calls = opens ? [{ atMs: phase.startMs, kind: "repetition", words: String(phase.repetition) }] : [];
      return phase.name === "hold" ? [...calls, { atMs: phase.startMs, kind: "hold", words: "Hold" }] : calls;
    }
    if (phase.direction && !(first && !phase.round && span.set === 1)) {
      if (first && phase.round) return [];
      return [{ atMs: phase.startMs, kind: "direction", words: upperFirst(phase.direction) }];
    }
    return phase.round && !first
      ? [{ atMs: phase.startMs, kind: phase.unit, words: `${upperFirst(phase.unit)} ${phase.round} of ${phase.rounds}` }]
      : [];
  });
}

function countCalls(span) {
  const seconds = (span.endMs - span.startMs) / 1000;
  const isRest = span.kind === "pause";
  // Who counts repetitions hears the number of each; two counts at once would be none.
  const isTimed = span.kind === "set" && !span.phases[0]?.repetitions && seconds >= SHORTEST_CALLED_S;
  if (!isRest && !isTimed) return [];
  const calls = CALLED_SECONDS.filter((left) => left < seconds || (left === seconds && isRest)).map((left) => ({
    atMs: span.endMs - left * 1000,
    kind: left > 3 ? "left" : "count",
    words: left > 3 ? `${left} seconds left` : String(left),
  }));
  return isRest ? [...calls, { atMs: span.endMs, kind: "rest over", words: "Rest over" }] : calls;
}

function upperFirst(words) {
  return words[0].toUpperCase() + words.slice(1);
}

/**
 * Return what to show at a time of a schedule, and what to call out since the last look.
 * @param {{spans: object[], totalMs: number}} schedule
 * @param {number} elapsedMs since the start of the schedule
 * @param {number} [sinceMs] at the last look; a negative one before the first
 * @returns {{span: object|null, kind: string, phase: string|null, words: string, side: string|null, set: number|null,
 *   secondsLeft: number, phaseSecondsLeft: number, repetition: number|null, repetitions: number|null,
 *   round: number|null, rounds: number|null, unit: string|null, direction: string|null, over: boolean,
 *   announcements: {atMs: number, kind: string, words: string}[]}}
 */
export function tell(schedule, elapsedMs, sinceMs = -1) {
  const over = elapsedMs >= schedule.totalMs;
  const span = schedule.spans.find((each) => elapsedMs < each.endMs) ?? schedule.spans.at(-1) ?? null;
  const phase = span?.phases.find((each) => elapsedMs < each.endMs) ?? span?.phases.at(-1) ?? null;
  const left = (endMs) => Math.max(0, Math.ceil((endMs - elapsedMs) / 1000));
  return {
    span,
    kind: over ? "over" : span.kind,
    phase: phase?.name ?? null,
    words: span?.words ?? "",
    side: span?.side ?? null,
    set: span?.set ?? null,
    secondsLeft: span ? left(span.endMs) : 0,
    phaseSecondsLeft: phase ? left(phase.endMs) : 0,
    repetition: phase?.repetition ?? null,
    repetitions: phase?.repetitions ?? null,
    round: phase?.round ?? null,
    rounds: phase?.rounds ?? null,
    unit: phase?.unit ?? null,
    direction: phase?.direction ?? null,
    over,
    announcements: callsBetween(schedule, sinceMs, elapsedMs),
  };
}

// After a gap only what is newest is called: forty beeps in a row would tell nobody where the exercise is.
function callsBetween(schedule, sinceMs, elapsedMs) {
  const due = schedule.spans.flatMap((span) => span.calls).filter((each) => each.atMs > sinceMs && each.atMs <= elapsedMs);
  if (elapsedMs - sinceMs <= LATE_MS) return due;
  const fresh = due.filter((each) => elapsedMs - each.atMs <= LATE_MS || ["rest over", "begin", "step", "end"].includes(each.kind));
  return fresh.slice(-1);
}

/**
 * Return a clock that runs from now on. A clock is a plain value, and can be kept as it is.
 * @param {number} nowMs
 * @param {number} [elapsedMs]
 */
export function startedClock(nowMs, elapsedMs = 0) {
  return { elapsedMs, toldMs: elapsedMs - 1, lastMs: nowMs, running: true };
}

/**
 * Look at a clock: return it as it is now, what to show and call, and whether the page was asleep meanwhile.
 * Sleep never runs past the end of the step in hand: nobody did the set that would have come next. The clock then stands.
 * @param {object} clock
 * @param {{spans: object[], totalMs: number}} schedule
 * @param {number} nowMs
 * @returns {{clock: object, told: object, gap: boolean}}
 */
export function lookAtClock(clock, schedule, nowMs) {
  // A clock that was set back adds nothing, and goes on from there.
  const passedMs = clock.running ? Math.max(0, nowMs - clock.lastMs) : 0;
  const span = schedule.spans.find((each) => clock.elapsedMs < each.endMs);
  const endMs = span?.endMs ?? schedule.totalMs;
  const gap = passedMs > GAP_MS && clock.elapsedMs + passedMs > endMs;
  // A step that a hand ends waits at its last moment.
  const limitMs = gap ? endMs : span?.waits ? endMs - 1 : schedule.totalMs;
  const elapsedMs = Math.max(clock.elapsedMs, Math.min(clock.elapsedMs + passedMs, limitMs));
  const told = tell(schedule, elapsedMs, clock.toldMs);
  const running = clock.running && !gap && !told.over;
  return { clock: { elapsedMs, toldMs: elapsedMs, lastMs: nowMs, running }, told, gap };
}

/** Return the clock standing. */
export function pausedClock(clock, schedule, nowMs) {
  return { ...lookAtClock(clock, schedule, nowMs).clock, running: false };
}

/** Return the clock running again from where it stands. */
export function resumedClock(clock, nowMs) {
  return { ...clock, lastMs: nowMs, running: true };
}

/** Return the clock at the start of the step in hand, or of the one before in its first two seconds. */
export function clockBack(clock, schedule, nowMs) {
  const here = schedule.spans.findLast((each) => each.startMs + LATE_MS <= clock.elapsedMs) ?? schedule.spans[0];
  return clockAt(clock, here?.startMs ?? 0, nowMs);
}

/** Return the clock at the start of the next step, or at the end. */
export function clockAhead(clock, schedule, nowMs) {
  const here = schedule.spans.find((each) => clock.elapsedMs < each.endMs);
  return clockAt(clock, here?.endMs ?? schedule.totalMs, nowMs);
}

function clockAt(clock, elapsedMs, nowMs) {
  return { ...clock, elapsedMs, toldMs: elapsedMs - 1, lastMs: nowMs };
}
