// What stopped an athlete earlier today, on this device or on another as far as the package told: no page in here.

import { localTime } from "./entries.js";

/** Return the day of a time as the device has it: 2026-11-25. */
export const dayOf = (date) => localTime(date).slice(0, 10);

/**
 * Return what stopped an athlete last on the day of `now`; null where nothing did.
 * @param {object[]} sessions of this device, each with `pack` and `state`
 * @param {{date: string, at: string, what: string}[]} told by packages
 * @param {number} athlete
 * @param {Date} now
 * @param {object|null} [except] a session that does not count
 * @returns {{date: string, at: string, what: string}|null}
 */
export function stopToday(sessions, told, athlete, now, except = null) {
  const here = sessions.filter((each) => each !== except && each.pack.athlete.id === athlete).flatMap(({ pack, state }) => stopsIn(pack, state.standing));
  const today = [...told, ...here].filter((each) => each && each.date === dayOf(now));
  return today.reduce((last, each) => (last && last.at > each.at ? last : each), null);
}

/** Return the stops of one run: a first-aid card that ends a session, an arm that a pain stopped, no session by the answers. */
export function stopsIn(pack, standing) {
  return standing.flatMap((entry) => {
    const what = whatStopped(pack, entry);
    return what ? [{ date: entry.at.slice(0, 10), at: entry.at.slice(11, 16), what }] : [];
  });
}

function whatStopped(pack, entry) {
  switch (entry.kind) {
    case "stopped": {
      const card = pack.cards.find((each) => each.id === entry.card);
      return card && card.ends !== "session" ? "" : lowerFirst(card?.title ?? entry.sign ?? entry.card);
    }
    case "pain":
      return entry.outcome === "stop the arm" ? `pain of ${entry.level_0_10} of 10, ${[entry.side, entry.place].filter(Boolean).join(" ")}` : "";
    case "before":
      return (entry.effects ?? []).includes("stop") ? `before the start: ${saidThatStops(pack, entry).join("; ") || "the answers said stop"}` : "";
    default:
      return "";
  }
}

function saidThatStops(pack, { answers = {} }) {
  return pack.before.questions.flatMap((each) => each.answers.filter((answer) => answer.says === answers[each.id] && answer.effect === "stop").map((answer) => answer.what));
}

/** Words without a capital at their beginning. */
export function lowerFirst(words) {
  return words[0].toLowerCase() + words.slice(1);
}

/** A stop of today as a notice. */
export function stopNotice({ at, what }, level = "stop") {
  return { level, what: `today ${at}: ${what}`, do: level === "stop" ? "Every question before the start is answered one by one; somebody qualified says whether it goes on" : "Stop at the first sign of it again" };
}
