/* The end: how hard the whole session was, how long it took, and what is still on this device. */

import { el, head, press, toFoot } from "./dom.js";
import { plannedMinutes } from "./plain.js";

const EFFORTS = Array.from({ length: 11 }, (_, effort) => effort);
const MOST_MINUTES = 600;
const ODD_TIMES = 3;

/** Session effort, right under its question; below it the minutes, as the clock of the device has them. */
export function finishScreen(court) {
  const about = (court.ending ??= { minutes: court.minutesSoFar(), set: false });
  const planned = plannedMinutes(court.pack, court.state);
  const isOdd = planned > 0 && (about.minutes * ODD_TIMES < planned || about.minutes > ODD_TIMES * planned);
  const end = (said) => (isOddNow() ? court.show("minutes", { said, planned }) : court.say("ended", { ...said, minutes: about.minutes }));
  const isOddNow = () => isOdd && !about.set;
  return [
    head("How hard was the whole session?", "0 is rest, 10 is all you have"),
    el("div.numbers.numbers-tall", {}, EFFORTS.map((effort) => press(String(effort), () => end({ session_effort_0_10: effort }), { label: `${effort} of 10` }))),
    minutesCount(about.minutes, (minutes) => Object.assign(about, { minutes, set: true }), "Minutes it took"),
    toFoot(null, press("Not asked: end it", () => end({})), press("Back to the session", () => ((court.ending = null), court.goOn()))),
  ];
}

/** Asked where the clock of the device and the plan are far apart: a page left open overnight took no nine hours. */
export function minutesScreen(court, { said, planned }) {
  const clock = court.ending?.minutes ?? court.minutesSoFar();
  let minutes = planned;
  const end = (value) => court.say("ended", { ...said, minutes: value });
  return [
    head("How long did it take?"),
    el("p.ask", {}, `By the clock of this device ${clock} min; what was done takes ${planned} min by the plan.`),
    minutesCount(minutes, (value) => (minutes = value), "Minutes it took"),
    toFoot(press("Keep these minutes", () => end(minutes), { look: "main" }), press(`By the clock: ${clock} min`, () => end(clock)), press("Back", () => court.show("finish"))),
  ];
}

function minutesCount(minutes, changed, words) {
  const shown = el("output", {}, String(minutes));
  const step = (by) => {
    const now = Math.max(0, Math.min(MOST_MINUTES, Number(shown.textContent) + by));
    shown.textContent = String(now);
    changed(now);
  };
  return el("div.count", { role: "group", "aria-label": words },
    el("span.label", {}, words),
    press("−", () => step(-1), { label: "One minute less" }),
    shown,
    press("+", () => step(1), { label: "One minute more" }));
}

/** After the end. */
export function doneScreen(court) {
  const { state, pack } = court;
  const rows = pack.items.map((item) => el("li", {}, `${item.variants.planned.title}: ${state.wordsOf(item.exercise)}`));
  const card = state.stopped && pack.cards.find((each) => each.id === state.stopped.card);
  return [
    head("The session is over"),
    el("p", {}, `${pack.athlete.name}, ${state.ended.minutes} min. Relieve the seat now; look at the skin under straps and cuffs.`),
    el("ul.summary", {}, rows),
    el("div.choices.choices-tall", {},
      card ? press("The first-aid card again", () => court.show("card", { card, item: null }), { small: card.title }) : null,
      press("Give the entries back as a file", () => court.giveBack())),
    toFoot(press("To the list", () => court.list(), { look: "main" })),
  ];
}
