/* The end: how hard the whole session was, how long it took, and what is still on this device. */

import { effectsOf } from "./before.js";
import { el, head, press, told, toFoot, upper } from "./dom.js";
import { painWords } from "./pain.js";
import { plannedMinutes } from "./plain.js";
import { lowerFirst } from "./today.js";

const EFFORTS = Array.from({ length: 11 }, (_, effort) => effort);
const MOST_MINUTES = 600;
const ODD_TIMES = 3;
const LOOKED_AT = "Have it looked at by somebody qualified before the next session";
const GRAVE_PAINS = ["stop the exercise", "stop the arm"];

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
    toFoot(null, press("Not asked: end it", () => end({})), court.canGoOn ? press("Back to the session", () => ((court.ending = null), court.goOn())) : null),
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
  const stopped = state.standing.filter((each) => each.kind === "stopped");
  const cards = pack.cards.filter((card) => stopped.some((each) => each.card === card.id));
  return [
    head("The session is over"),
    ...toBeLookedAt(court).map(told),
    el("p", {}, `${pack.athlete.name}, ${state.ended.minutes} min. Relieve the seat now; look at the skin under straps and cuffs.`),
    el("ul.summary", {}, rows),
    painsOfSession(court),
    el("div.choices.choices-tall", {},
      cards.map((card) => press(cards.length > 1 ? `First-aid card: ${card.title}` : "The first-aid card again", () => court.show("card", { card, item: null }), { small: cards.length > 1 ? "" : card.title })),
      court.app.alone && court.app.counts?.notHome ? null : press("Give the entries back as a file", () => court.giveBack())),
    court.app.alone && court.app.counts?.notHome
      ? toFoot(press("Give the entries back", () => court.giveBack(), { look: "main", small: "as a file, for the club" }), press("To the list", () => court.list()))
      : toFoot(press("To the list", () => court.list(), { look: "main" })),
  ];
}

/* Every pain that was said; one that is told above as grave is told there. */
function painsOfSession({ state, pack }) {
  const titleOf = (exercise) => pack.items.find((each) => each.exercise === exercise)?.variants.planned.title;
  const before = (state.before?.pains ?? []).map((each) => ({ ...each, when: "before the start" }));
  const during = state.standing
    .filter((each) => each.kind === "pain" && !GRAVE_PAINS.includes(each.outcome))
    .map((each) => ({ ...each, when: each.exercise ? `in ${titleOf(each.exercise) ?? each.exercise}` : "" }));
  const said = [...before, ...during].filter((each) => each.level_0_10 > 0);
  return said.length ? el("p.pains-said", {}, `Pain that was said: ${said.map((each) => [lowerFirst(painWords(each)), each.when].filter(Boolean).join(", ")).join("; ")}.`) : null;
}

/* What stopped it, or was to be put right first, once more: nobody reads it on a screen that was left. */
function toBeLookedAt(court) {
  const { state, pack } = court;
  const before = state.before ? effectsOf(court, { answers: state.before.answers, pains: state.before.pains ?? [] }).notices : [];
  const ends = (entry) => entry.kind === "stopped" && pack.cards.find((each) => each.id === entry.card && each.ends === "session");
  const stops = state.standing.filter(ends).map((each) => ({ level: "stop", what: `${ends(each).title}${each.sign ? ` (${lowerFirst(each.sign)})` : ""}`, do: LOOKED_AT }));
  const pains = state.standing
    .filter((each) => each.kind === "pain" && GRAVE_PAINS.includes(each.outcome))
    .map((each) => ({ level: each.outcome === "stop the arm" ? "stop" : "caution", what: `pain of ${each.level_0_10} of 10, ${[each.side, each.place].filter(Boolean).join(" ")}`, do: LOOKED_AT }));
  // Where nothing was done the answers are why; after a session that was eased they are no news.
  const isStopped = state.effects.includes("stop") || state.effects.includes("first");
  const answers = isStopped ? before.map((each) => (each.level === "stop" && state.effects.includes("stop") ? { ...each, do: `${upper(each.do)}. Have it looked at` } : each)) : [];
  const all = [...stops, ...answers, ...pains];
  // Said once, under the last of them.
  return all.map((each, index) => (each.do === LOOKED_AT && all.slice(index + 1).some((other) => other.do === LOOKED_AT) ? { ...each, do: "" } : each));
}
