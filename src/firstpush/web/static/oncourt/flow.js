// Where a session stands: reckoned anew from its package and the entries that hold, so that nothing can drift apart.
// No page and no clock in here; undoing an entry is enough to go back.

import { standingEntries } from "./entries.js";
import { firstTimeOf } from "./firsttime.js";
import { effortCeiling, laterOffer, lookUpPain, saidPains } from "./later.js";

const STOPPING_OUTCOMES = ["stop the exercise", "stop the arm"];

/** How a note begins that says who let a session go on after a card that ends it. */
export const PASSED = "All of it passed";

/**
 * Return the key of a place in the tables of the package, such as "left shoulder top" or "neck".
 * @param {string} place
 * @param {string|null} [side]
 * @returns {string}
 */
export function placeKey(place, side = null) {
  return side ? `${side} ${place}` : place;
}

/**
 * Return where a run stands.
 * @param {object} pack the package
 * @param {object[]} entries of one run, in any order
 * @returns {object} `standing` the entries that hold; `begin`, `before`, `ended`, `stopped` (the newest) or null;
 *   `effects` of the answers before; `pains` {place key: last level}; `efforts` {part: level}; `exerciseEfforts`
 *   {exercise: level}; `items` [{exercise, part, number, state, variant, offer, because, entry}] with `state` "open",
 *   "held" (pain: the easier one or none), "done", "skipped" or "stopped", and `later` what a pain said elsewhere means
 *   for it, `first` where a first time stands; `waits` the newest `stopped` whose card ends the session and which nobody said
 *   has passed; `isOver` whether one of the cards lets nothing follow; `ceiling` the effort above which nothing is meant today; `current` the place of the item in hand or null; `progress` {closed, done, of}; `variantOf(exercise)`, `wordsOf(exercise)`
 */
export function flowState(pack, entries) {
  const standing = standingEntries(entries);
  const last = (kind) => standing.findLast((each) => each.kind === kind) ?? null;
  const before = last("before");
  const effects = before?.effects ?? [];
  const arms = stoppedArms(pack, standing);
  const pains = saidPains(pack, standing);
  const ceiling = effortCeiling(pack, before);
  const items = pack.items.map((item) => itemState(pack, item, standing, { eased: effects.includes("ease"), arms, pains, ceiling }));
  const found = items.findIndex(isOpen);
  const efforts = standing.filter((each) => each.kind === "effort");
  const byName = new Map(items.map((each) => [each.exercise, each]));
  return {
    standing,
    begin: last("begin"),
    before,
    effects,
    ended: last("ended"),
    stopped: last("stopped"),
    ...sessionStops(pack, standing),
    ceiling,
    pains: painsSaid(standing),
    efforts: Object.fromEntries(efforts.filter((each) => each.part).map((each) => [each.part, each.effort_6_20 ?? each.feel])),
    exerciseEfforts: Object.fromEntries(
      efforts.filter((each) => each.exercise).map((each) => [each.exercise, each.effort_6_20 ?? each.feel]),
    ),
    items,
    current: found < 0 ? null : found,
    progress: {
      closed: items.filter((each) => !isOpen(each)).length,
      done: items.filter((each) => each.state === "done").length,
      of: items.length,
    },
    variantOf: (exercise) => byName.get(exercise)?.variant ?? "planned",
    wordsOf: (exercise) => wordsOfItem(byName.get(exercise)),
  };
}

/** Whether the session may go on after a card; one of a package that does not say so may not, where it ends the session. */
export const mayGoOn = (card) => card?.may_go_on ?? card?.ends !== "session";

// A card that ends the session is answered by who says that all of it has passed, or by the end; some by the end alone.
function sessionStops(pack, standing) {
  const cardOf = (entry) => pack.cards?.find((each) => each.id === entry.card);
  const stops = standing.filter((each) => each.kind === "stopped" && (cardOf(each)?.ends === "session" || !mayGoOn(cardOf(each))));
  const passedAt = standing.findLastIndex((each) => each.kind === "note" && each.words.startsWith(PASSED));
  const isFor = (entry) => !mayGoOn(cardOf(entry)) || standing.indexOf(entry) > passedAt;
  return {
    waits: stops.findLast(isFor) ?? null,
    isOver: stops.some((each) => !mayGoOn(cardOf(each))),
    passed: stops.length ? { stop: stops.at(-1), words: standing[passedAt]?.words ?? "" } : null,
  };
}

function isOpen(item) {
  return item.state === "open" || item.state === "held";
}

function painsSaid(standing) {
  const said = standing.flatMap((each) => (each.kind === "before" ? (each.pains ?? []) : each.kind === "pain" ? [each] : []));
  return Object.fromEntries(said.map((each) => [placeKey(each.place, each.side), each.level_0_10]));
}

// An arm that a pain stopped is loaded no more in this session; a pain of neck or back stops both.
function stoppedArms(pack, standing) {
  const arms = new Map();
  for (const each of standing) {
    if (each.kind !== "pain" || each.outcome !== "stop the arm") continue;
    for (const side of each.side ? [each.side] : ["left", "right"]) arms.set(side, `pain, ${placeKey(each.place, each.side)}`);
  }
  return arms;
}

function itemState(pack, item, standing, { eased, arms, pains, ceiling }) {
  const state = {
    exercise: item.exercise,
    part: item.part,
    number: item.number,
    state: "open",
    variant: eased && item.variants.easier ? "easier" : "planned",
    offer: null,
    because: "",
    entry: null,
    later: null,
    first: null,
  };
  const easedByPain = laterOffer(pack, pains, item, item.variants.planned)?.offer === "easier";
  if (easedByPain) state.variant = "easier";
  for (const entry of standing.filter((each) => each.exercise === item.exercise)) follow(state, item, entry);
  if (isOpen(state)) state.later = laterOffer(pack, pains, item, item.variants[state.variant] ?? item.variants.planned);
  if (state.later?.offer === "none") Object.assign(state, { state: "stopped", offer: null, because: state.later.what });
  const because = isOpen(state) ? armThatStops(item.variants[state.variant] ?? item.variants.planned, arms) : null;
  if (because) Object.assign(state, { state: "stopped", offer: null, because });
  if (isOpen(state)) state.first = firstTimeOf(pack, item, { standing, ceiling, variant: state.variant });
  return state;
}

function follow(state, item, entry) {
  switch (entry.kind) {
    case "swapped":
      state.variant = entry.to;
      if (state.state === "held") Object.assign(state, { state: "open", offer: null, because: "" });
      break;
    case "done":
      Object.assign(state, { state: "done", variant: entry.variant, offer: null, because: "", entry });
      break;
    case "skipped":
      Object.assign(state, { state: "skipped", offer: null, because: entry.reason, entry });
      break;
    case "stopped":
      if (state.state !== "done") Object.assign(state, { state: "stopped", offer: null, because: entry.sign ?? entry.card, entry });
      break;
    case "pain":
      if (isOpen(state)) painInHand(state, item, entry);
      break;
  }
}

function painInHand(state, item, entry) {
  const because = `pain, ${placeKey(entry.place, entry.side)} ${entry.level_0_10} of 10`;
  const hasEasier = Boolean(item.variants.easier) && state.variant !== "easier";
  if (STOPPING_OUTCOMES.includes(entry.outcome) || (entry.outcome === "easier" && !hasEasier)) {
    Object.assign(state, { state: "stopped", offer: null, because, entry });
  } else if (entry.outcome === "easier") {
    Object.assign(state, { state: "held", offer: "easier", because, entry });
  }
}

// A set without a side is done with both arms, as far as the package says.
function armThatStops(variant, arms) {
  for (const step of variant.steps) {
    if (step.kind !== "set") continue;
    for (const [side, because] of arms) if (!step.side || step.side === side) return because;
  }
  return null;
}

function wordsOfItem(item) {
  switch (item?.state) {
    case "done":
      return [
        "done",
        item.variant === "planned" ? "" : `, the ${item.variant} one`,
        item.entry.as_planned === false ? ", otherwise than planned" : "",
      ].join("");
    case "skipped":
      return `left out: ${item.because}`;
    case "stopped":
      return `stopped: ${item.because}`;
    default:
      return "not done";
  }
}

/**
 * Return what a pain means for the exercise in hand, from the table in the package.
 * @param {object} pack
 * @param {{pains: object}} state where the run stands, before this pain is said
 * @param {string} place
 * @param {string|null} side
 * @param {string} feeling
 * @param {number} level 0 to 10
 * @returns {{outcome: string, because: string}}
 */
export function painOutcome(pack, state, place, side, feeling, level) {
  const key = placeKey(place, side);
  const [outcome, because] = lookUpPain(pack, key, { feeling, before: state.pains[key] ?? 0, level });
  return { outcome, because };
}

/**
 * Return the part whose effort is to be asked: all of it is over, and something of it was done.
 * @param {object} state
 * @param {string[]} [notAsked] parts that were passed over
 * @returns {string|null}
 */
export function partToAsk(state, notAsked = []) {
  const parts = [...new Set(state.items.map((each) => each.part))];
  const isToAsk = (part) => {
    const items = state.items.filter((each) => each.part === part);
    return items.some((each) => each.state === "done") && !items.some(isOpen);
  };
  return parts.find((part) => !(part in state.efforts) && !notAsked.includes(part) && isToAsk(part)) ?? null;
}

/**
 * Return what comes next.
 * @param {object} pack
 * @param {object} state
 * @param {{read?: string[], notAsked?: string[]}} [passed] ids of `stopped` entries whose card was read on this page, and
 *   parts whose effort was passed over
 * @returns {{show: "before"|"card"|"exercise"|"effort"|"finish"|"done", index?: number, exercise?: string,
 *   variant?: string, held?: object|null, part?: string, card?: object, sign?: string, entry?: object}}
 */
export function nextOf(pack, state, { read = [], notAsked = [] } = {}) {
  if (state.ended) return { show: "done" };
  const newest = state.standing.at(-1);
  // A card stays until it was read or something was said after it; after loading the page again it comes again.
  if (newest?.kind === "stopped" && !read.includes(newest.id)) {
    const card = pack.cards.find((each) => each.id === newest.card) ?? null;
    return { show: "card", card, sign: newest.sign, entry: newest };
  }
  // Also where another card came after it, or the page was opened again: such a card is not passed over.
  if (state.waits) return { show: "card", card: pack.cards.find((each) => each.id === state.waits.card) ?? null, sign: state.waits.sign, entry: state.waits };
  // What was to be put right first is asked again.
  if (!state.before || state.effects.includes("first")) return { show: "before" };
  if (state.effects.includes("stop")) return { show: "finish" };
  const part = partToAsk(state, notAsked);
  if (part) return { show: "effort", part };
  if (state.current === null) return { show: "finish" };
  const item = state.items[state.current];
  const held = item.state === "held" ? { offer: item.offer, because: item.because } : null;
  return { show: "exercise", index: state.current, exercise: item.exercise, variant: item.variant, held };
}

/** Return where the session is, in words: "Exercise 4 of 9", or "9 of 9" at its end. */
export function progressWords(state) {
  const { of } = state.progress;
  return state.current === null ? `${of} of ${of}` : `Exercise ${state.current + 1} of ${of}`;
}
