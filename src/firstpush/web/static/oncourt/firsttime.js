// A first time: where it stands by its entries. One set, then how hard it was; what follows stands in the package.

import { setsOfASide, stepsOfSets } from "./eased.js";
import { tooMuch } from "./later.js";

const MOST_ASKED = 3;

/**
 * Return where the first time of an exercise stands; null for any other.
 * @param {object} pack
 * @param {object} item
 * @param {{standing: object[], ceiling: number|null, variant: string}} at
 * @returns {{next: "ask"|"answer"|"rest"|"over", sets: number, of: number, effort?: number|string, then?: string, words?: string,
 *   to?: string|null, notice?: object|null}|null} `sets` so far and `of` how many as planned; "rest": the other sets as the first
 */
export function firstTimeOf(pack, item, { standing, ceiling, variant }) {
  if (!item.first_time) return null;
  const about = standing.filter((each) => each.exercise === item.exercise);
  const sets = about.filter((each) => each.kind === "effort").length;
  const of = setsOfASide(item.variants.planned);
  const last = about.slice(about.findLastIndex((each) => each.kind === "swapped") + 1).findLast((each) => each.kind === "effort");
  if (!last) return { next: "ask", sets, of };
  const effort = last.effort_6_20 ?? last.feel;
  const { then, words } = (item.first_time_answers ?? []).find((each) => (each.effort_6_20 ?? each.feel) === effort) ?? { then: "keep", words: "" };
  const to = then === "harder" ? "harder" : "easier";
  const isPrepared = Boolean(item.variants[to]) && variant !== to;
  const notice = tooMuch(pack, { ceiling }, effort);
  const found = { sets, of, effort, then, words, to: isPrepared ? to : null, notice };
  const isKept = !notice && (then === "keep" || (then !== "stop" && !isPrepared));
  if (!isKept && sets < MOST_ASKED) return { next: "answer", ...found };
  return { next: sets < of && isKept ? "rest" : "over", ...found };
}

/** Return the steps that the clock of a first time runs now: the first set, or those that follow its answer. */
export function stepsOfFirstTime(steps, { next, sets }) {
  // Another way to do it is prepared as one set: it is done as often as it takes.
  const prepared = setsOfASide({ steps });
  if (next === "rest" && sets < prepared) return stepsOfSets(steps, sets + 1);
  const first = stepsOfSets(steps, 1, 1);
  // The chair stays blocked while another set may come.
  return prepared > 1 && first.at(-1)?.kind === "free the chair" ? first.slice(0, -1) : first;
}
