// What is done to entries within one transaction of the store: added, counted, marked, taken in, taken off.

import { makeEntry, standingEntries } from "./entries.js";

const DAY_MS = 24 * 3600 * 1000;
const KEPT_AFTER_END_DAYS = 14;

// Where an entry is. What the application reported without keeping it is not sent again by itself.
export const WAITING = 0;
export const HOME = 1;
export const REPORTED = 2;

/**
 * Number an entry and add it.
 * @param {object} tables within a transaction
 * @param {object} run its record
 * @param {object} given kind and keys of the entry
 * @returns {Promise<{id: string, text: string, link: string|null}>}
 */
export const entryAdded = async (tables, { run, plan, version, athlete, late, link }, given) => {
  const sequence = (await tables.highest(run)) + 1;
  const { id, text } = makeEntry({ ...given, run, sequence, plan, version, athlete, late });
  await tables.add("entries", { id, run, sequence, text, home: WAITING, state: "", why: "" });
  return { id, text, link };
};

/**
 * Count the entries on this device, and those that are not known to be at home.
 * @param {object} tables within a transaction
 * @returns {Promise<{onDevice: number, notHome: number}>}
 */
export const countedEntries = async (tables) => {
  const onDevice = await tables.count();
  return { onDevice, notHome: onDevice - (await tables.countAt(HOME)) };
};

/**
 * Mark what an answer of the application names.
 * @param {object} tables within a transaction
 * @param {{kept?: string[], conflicts?: object[], refused?: object[]}} answer
 * @returns {Promise<number>} how many entries it said something new about
 */
export const answerMarked = async (tables, { kept = [], conflicts = [], refused = [] }) => {
  const reported = (state) => (each) => ({ ...each, state, home: each.aside === true ? HOME : REPORTED });
  const said = [
    ...kept.map((id) => ({ id, home: HOME, state: "" })),
    ...conflicts.map(reported("conflict")),
    ...refused.map(reported("refused")),
  ];
  let marked = 0;
  for (const { id, home, state, why = "" } of said) {
    const row = typeof id === "string" ? await tables.get("entries", id) : undefined;
    if (!row || row.home === HOME) continue;
    await tables.put("entries", { ...row, home, state, why });
    marked += 1;
  }
  return marked;
};

/**
 * Take in entries of a file, letter by letter; what is here already is left as it is.
 * @param {object} tables within a transaction
 * @param {{text: string, entry: object, link?: string|null}[]} given
 * @returns {Promise<{added: string[], known: string[], conflicts: {id: string, why: string}[]}>}
 */
export const takenIn = async (tables, given) => {
  const done = { added: [], known: [], conflicts: [] };
  for (const { text, entry, link = null } of given) {
    const { id, run, sequence, plan, version, athlete, late = null } = entry;
    const same = await tables.get("entries", id);
    const place = await tables.entryAt(run, sequence);
    if (same?.text === text) done.known.push(id);
    else if (same) done.conflicts.push({ id, why: "the same entry is kept here with other words" });
    else if (place) done.conflicts.push({ id, why: `entry ${sequence} of its run is another one here` });
    else {
      if (!(await tables.get("runs", run))) {
        await tables.add("runs", { run, plan, version, athlete, late, link, startedMs: Date.parse(entry.at) });
      }
      await tables.add("entries", { id, run, sequence, text, home: WAITING, state: "", why: "" });
      done.added.push(id);
    }
  }
  return done;
};

/**
 * Take a run off the device, when all its entries are at home and it ended long enough ago.
 * @param {object} tables within a transaction
 * @param {string} run
 * @param {number} nowMs
 * @returns {Promise<string[]>} ids of what was taken off
 */
export const cleanedAway = async (tables, run, nowMs) => {
  const rows = await tables.entriesOf(run);
  const ended = standingEntries(rows.map((each) => JSON.parse(each.text))).find((each) => each.kind === "ended");
  const isOld = ended && nowMs - Date.parse(ended.at) > KEPT_AFTER_END_DAYS * DAY_MS;
  if (!isOld || rows.some((each) => each.home !== HOME)) return [];
  for (const each of rows) await tables.remove("entries", each.id);
  await tables.remove("runs", run);
  return rows.map((each) => each.id);
};
