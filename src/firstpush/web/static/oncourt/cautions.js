/* The cautions of an exercise, a short line each between what is laid and the drawing; a press opens all of their words. */

import { el, told, upper } from "./dom.js";

// What begins so, or points back, says nothing without what it is about.
const LEANS = /^(on|at|as|in|with|only|before|after|until|ask|look|otherwise|more|less)\b|\b(it|them|they|that|this|these|there)\b/i;

/** A caution in one line: its own where it has one, what to do where that stands alone, else what it is about. */
export function shortOfCaution({ what, do: todo, short }) {
  if (short) return short;
  const [first] = (todo ?? "").split(/[;:.](?= |$)/);
  return upper(first && !LEANS.test(first) ? first : what);
}

/**
 * The cautions of the exercise in hand; those that stood here before the first set are one line before the next.
 * @param {object} court
 * @param {object} item
 * @param {object} variant in hand
 */
export function cautionsFolded(court, item, variant) {
  const cautions = variant.notices.filter((each) => each.level === "caution");
  const keyOf = (each) => `${item.exercise} ${each.what}`;
  const isNext = court.firstOf(item)?.next === "rest";
  const read = isNext ? cautions.filter((each) => court.cautionsRead.has(keyOf(each))) : [];
  for (const each of cautions) court.cautionsRead.add(keyOf(each));
  const fresh = cautions.filter((each) => !read.includes(each));
  return [
    fresh.length ? folded(fresh, fresh.map((each) => el("span.line-of", {}, levelOf("Caution"), shortOfCaution(each)))) : null,
    read.length ? folded(read, el("span.line-of.line-cut", {}, levelOf(read.length > 1 ? "Cautions" : "Caution"), "as before: ", read.map(shortOfCaution).join("; "))) : null,
  ];
}

function folded(cautions, lines) {
  return el("details.cautions", {}, el("summary", {}, el("span.lines", {}, lines)), cautions.map(told));
}

function levelOf(words) {
  return [el("strong", {}, words), " "];
}
