// An entry: one thing logged, as a text of JSON that is never changed afterwards (docs/why/on-court.md).
// What the application would not take is refused here, before it is stored: a test compares both.

import { newId } from "./ids.js";

const ENTRY_FORMAT = "firstpush entry 1";
const LONGEST_ENTRY = 8000;
const LONGEST_WORDS = 500;
const MOST_IN_A_RUN = 100000;
const LARGEST_NUMBER = Number.MAX_SAFE_INTEGER;
// A clock without a battery begins in 1970; what lies outside is no time.
const FIRST_YEAR = 1970;
const LAST_YEAR = 2199;
const PLACES_OF_PAIN = [
  "shoulder front",
  "shoulder top",
  "shoulder back",
  "shoulder blade",
  "upper arm",
  "elbow inside",
  "elbow outside",
  "forearm",
  "wrist",
  "hand",
  "neck",
  "upper back",
  "lower back",
];
const VARIANT_NAMES = ["planned", "easier", "harder"];
/** Said in place of a number, and never turned into one. */
export const FEELS = ["easy", "right", "hard"];
const OUTCOME_NAMES = ["go on", "go on with care", "easier", "stop the exercise", "stop the arm"];
const EFFECT_NAMES = ["none", "shorten", "ease", "first", "stop"];

/** The reason where it is not the exercise itself that hurt. */
export const NOT_TODAY = "not today: the practitioner said so";

/** The reasons where a pain of another exercise, or an effort that is too much today, is why. */
export const PAIN_EARLIER = "pain earlier in the session";
export const TOO_HARD = "too hard today";

/** Why a set less was done, where an answer before the start asked for it. */
export const ONE_SET_LESS = "one set less today";

/** Reasons for leaving an exercise out. */
export const SKIP_REASONS = [
  "no time",
  "pain",
  "kit or place missing",
  "did not want to",
  PAIN_EARLIER,
  TOO_HARD,
  NOT_TODAY,
  "other",
];

/** Why less was done than planned, where somebody said so. */
export const CUT_REASONS = [...SKIP_REASONS.filter((each) => each !== "pain" && each !== PAIN_EARLIER), ONE_SET_LESS];

const ID_SHAPE = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;
const TIME_SHAPE = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$/;

/** An entry that may not be stored; `faults` has one sentence for each thing that is wrong. */
export class EntryRefused extends Error {
  /** @param {string[]} faults */
  constructor(faults) {
    super(faults.join(" "));
    this.name = "EntryRefused";
    this.faults = faults;
  }
}

// Each check returns what is allowed when the value is not, and "" when it is. A key with "?" may be left out.
const entryOneOf = (names) => (value) => (names.includes(value) ? "" : `allowed is ${names.join(", ")}`);
const entryWhole = (least, most) => (value) =>
  Number.isInteger(value) && value >= least && value <= most ? "" : `allowed are the whole numbers ${least} to ${most}`;
const entryNumber = entryWhole(1, LARGEST_NUMBER);
const entrySequence = entryWhole(1, MOST_IN_A_RUN);
const entryYesOrNo = (value) => (typeof value === "boolean" ? "" : "allowed is true or false");
const entryName = (value) => (typeof value === "string" && value !== "" ? "" : "it must be words");
const entryWords = (value) =>
  typeof value === "string" && value !== "" && [...value].length <= LONGEST_WORDS
    ? ""
    : `allowed are 1 to ${LONGEST_WORDS} characters`;
const entryListOf = (check) => (value) => {
  if (!Array.isArray(value)) return "it must be a list";
  return value.map(check).find((each) => each !== "") ?? "";
};
const entryAnswers = (value) =>
  isPlainObject(value) && Object.values(value).every((each) => typeof each === "string")
    ? ""
    : "it must hold the answer of each question";

/** What a pain is like; the page offers those of its package. */
const PAIN_FEELINGS = ["as usual", "more than usual", "new", "sharp"];
const KEYS_OF_PAIN = {
  place: entryOneOf(PLACES_OF_PAIN),
  "side?": entryOneOf(["left", "right"]),
  level_0_10: entryWhole(0, 10),
  feeling: entryOneOf(PAIN_FEELINGS),
};
const entryPain = (value) => (isPlainObject(value) ? faultsOfEntryKeys(KEYS_OF_PAIN, value).join(" ") : "each must be a pain");

const KEYS_BY_KIND = {
  begin: { "checksum?": entryName, "device?": entryName },
  before: { answers: entryAnswers, "pains?": entryListOf(entryPain), "effects?": entryListOf(entryOneOf(EFFECT_NAMES)) },
  done: {
    "as_planned?": entryYesOrNo,
    variant: entryOneOf(VARIANT_NAMES),
    "sets?": entryWhole(0, 20),
    "repetitions?": entryWhole(0, 500),
    "seconds?": entryWhole(0, 7200),
    "faults?": entryListOf(entryWords),
    "reason?": entryOneOf(CUT_REASONS),
  },
  skipped: { reason: entryOneOf(SKIP_REASONS) },
  swapped: { to: entryOneOf(VARIANT_NAMES) },
  effort: { "effort_6_20?": entryWhole(6, 20), "feel?": entryOneOf(FEELS), "part?": entryName },
  pain: { ...KEYS_OF_PAIN, "outcome?": entryOneOf(OUTCOME_NAMES) },
  stopped: { card: entryName, "sign?": entryName },
  note: { words: entryWords },
  ended: { "session_effort_0_10?": entryWhole(0, 10), minutes: entryWhole(0, 600) },
  undo: {},
};
// Every entry says itself whose it is, so that none waits for another.
const KEYS_OF_WHOSE = { plan: entryNumber, version: entryNumber, athlete: entryNumber };
const KEYS_AT_END = { "late?": entryYesOrNo };
const KINDS_ABOUT_ONE_EXERCISE = ["done", "skipped", "swapped"];

/** Every kind of entry. */
export const ENTRY_KINDS = Object.keys(KEYS_BY_KIND);

function isPlainObject(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function faultsOfEntryKeys(keys, given) {
  return Object.entries(keys).flatMap(([key, check]) => {
    const name = key.replace("?", "");
    const value = given[name];
    if (value === undefined || value === null) return key === name ? [`“${name}” is missing.`] : [];
    const fault = check(value);
    return fault === "" ? [] : [`“${name}” is ${JSON.stringify(value)}; ${fault}.`];
  });
}

/**
 * Return what is wrong with an entry, one sentence each; empty when it may be stored.
 * @param {object} given the entry with every key
 * @returns {string[]}
 */
export function faultsOfEntry(given) {
  if (!isPlainObject(given) || given.format !== ENTRY_FORMAT) return [`An entry must say "format": "${ENTRY_FORMAT}".`];
  const faults = [];
  for (const key of ["id", "run", ...((given.corrects ?? null) === null ? [] : ["corrects"])]) {
    if (!ID_SHAPE.test(given[key])) faults.push(`“${key}” is ${JSON.stringify(given[key])}; it must be a UUID.`);
  }
  if (entrySequence(given.sequence)) faults.push(`“sequence” is ${given.sequence}; entries are counted 1, 2, 3.`);
  if (!TIME_SHAPE.test(given.at) || parseInt(given.at) < FIRST_YEAR || parseInt(given.at) > LAST_YEAR) {
    faults.push(`“at” is ${JSON.stringify(given.at)}; set the clock of this device, then try again.`);
  }
  if (!Object.hasOwn(KEYS_BY_KIND, given.kind)) {
    return [...faults, `“kind” is ${JSON.stringify(given.kind)}; allowed is ${ENTRY_KINDS.join(", ")}.`];
  }
  if ((given.exercise ?? null) !== null && entryName(given.exercise)) faults.push("“exercise” must be the name of one.");
  if ((given.exercise ?? null) === null && KINDS_ABOUT_ONE_EXERCISE.includes(given.kind)) {
    faults.push("“exercise” is missing; it must name the one that was done.");
  }
  if (given.kind === "undo" && (given.corrects ?? null) === null) {
    faults.push("“corrects” is missing; it must name the entry that does not hold.");
  }
  if (given.kind === "effort" && ((given.effort_6_20 ?? null) === null) === ((given.feel ?? null) === null)) {
    faults.push("“effort_6_20” or “feel” must be there, one of them.");
  }
  return [...faults, ...faultsOfEntryKeys({ ...KEYS_OF_WHOSE, ...KEYS_BY_KIND[given.kind], ...KEYS_AT_END }, given)];
}

function keysOfEntryKind(kind) {
  return Object.keys(KEYS_BY_KIND[kind] ?? {}).map((key) => key.replace("?", ""));
}

/**
 * Return a time by the clock of the device with its zone, such as 2026-11-25T18:05:00.000+01:00.
 * @param {Date} date
 * @returns {string}
 */
export function localTime(date) {
  const zone_min = -date.getTimezoneOffset();
  const shown = new Date(date.getTime() + zone_min * 60000).toISOString().slice(0, -1);
  const two = (value) => String(Math.floor(value)).padStart(2, "0");
  return `${shown}${zone_min < 0 ? "-" : "+"}${two(Math.abs(zone_min) / 60)}:${two(Math.abs(zone_min) % 60)}`;
}

// Half of a pair of surrogates can be stored by no database; a keyboard that sends one must not lose the note.
function mendedText(value) {
  return typeof value === "string" ? value.replace(/\p{Cs}/gu, "\ufffd") : value;
}

/**
 * Return a new entry with its text; always the same keys in the same order.
 * @param {{run: string, sequence: number, plan: number, version: number, athlete: number, kind: string,
 *   exercise?: string, corrects?: string, late?: boolean, id?: string, at?: Date}} given and the keys of its kind;
 *   what is undefined or null counts as not said
 * @returns {{id: string, text: string}}
 * @throws {EntryRefused}
 */
export function makeEntry({ run, sequence, plan, version, athlete, kind, id, at = new Date(), ...said }) {
  const named = { format: ENTRY_FORMAT, id: id ?? newId(at.getTime()), run, sequence, plan, version, athlete };
  const entry = { ...named, at: localTime(at), kind };
  const order = ["exercise", "corrects", ...keysOfEntryKind(kind), "late"];
  for (const key of order) {
    if (said[key] !== undefined && said[key] !== null) entry[key] = said[key];
  }
  const faults = faultsOfEntry(entry);
  const unknown = Object.keys(said).filter((key) => !order.includes(key));
  if (unknown.length) faults.push(`“${unknown.join("”, “")}” is no key of an entry of the kind “${kind}”.`);
  const made = JSON.stringify(entry, (_, value) => mendedText(value));
  if (made.length > LONGEST_ENTRY) {
    faults.push(`The entry has ${made.length} characters; allowed are ${LONGEST_ENTRY}. Write shorter notes.`);
  }
  if (faults.length) throw new EntryRefused(faults);
  return { id: entry.id, text: made };
}

/**
 * Return the entry that a text holds.
 * @param {string} entryText
 * @returns {object}
 * @throws {EntryRefused}
 */
export function readEntryText(entryText) {
  let given;
  try {
    given = JSON.parse(entryText);
  } catch {
    throw new EntryRefused(["An entry is no JSON; take the file as the page gave it out."]);
  }
  const faults = faultsOfEntry(given);
  if (entryText.length > LONGEST_ENTRY) faults.push(`An entry has more than ${LONGEST_ENTRY} characters.`);
  if (faults.length) throw new EntryRefused(faults);
  return given;
}

/**
 * Return the entries that hold, by run and sequence: of each chain of corrections the last, and nothing undone.
 * The same rule as `standing` in core.
 * @param {object[]} entries as `readEntryText` returns them, in any order
 * @returns {object[]}
 */
export function standingEntries(entries) {
  const byId = new Map(entries.map((each) => [each.id, each]));
  const ordered = [...byId.values()].sort((a, b) => (a.run === b.run ? a.sequence - b.sequence : a.run < b.run ? -1 : 1));
  const undone = new Set();
  const replaced = new Set();
  // The last word first: what was undone takes nothing away, what was replaced still keeps away what it replaced.
  for (const each of [...ordered].reverse()) {
    if (each.corrects && !undone.has(each.id)) (each.kind === "undo" ? undone : replaced).add(each.corrects);
  }
  return ordered.filter((each) => !undone.has(each.id) && !replaced.has(each.id) && each.kind !== "undo");
}
