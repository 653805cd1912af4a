/* The end: how hard the whole session was, how long it took, and what is still on this device. */

import { clockWords, el, head, press } from "./dom.js";

const EFFORTS = Array.from({ length: 11 }, (_, effort) => effort);

/** Session effort, with the minutes as the clock of the device has them. */
export function finishScreen(court) {
  let minutes = court.minutesSoFar();
  const shown = el("output", {}, String(minutes));
  const set = (value) => (shown.textContent = String((minutes = Math.max(0, Math.min(600, value)))));
  return [
    head("How hard was the whole session?", "0 is rest, 10 is all you have"),
    el("div.count", { role: "group", "aria-label": "minutes" },
      el("span.label", {}, "minutes"),
      press("−", () => set(minutes - 1), { label: "One minute less" }),
      shown,
      press("+", () => set(minutes + 1), { label: "One minute more" })),
    el("div.numbers", {}, EFFORTS.map((effort) =>
      press(String(effort), () => court.say("ended", { session_effort_0_10: effort, minutes }), { label: `${effort} of 10` }))),
    el("div.actions", {}, press("Not asked: end it", () => court.say("ended", { minutes })), press("Back to the session", () => court.goOn())),
  ];
}

/** After the end. */
export function doneScreen(court) {
  const { state, pack } = court;
  const rows = pack.items.map((item) => el("li", {}, `${item.variants.planned.title}: ${state.wordsOf(item.exercise)}`));
  return [
    head("The session is over"),
    el("p", {}, `${pack.athlete.name}, ${clockWords(state.ended.minutes * 60)} by the clock of this device. Relieve the seat now; look at the skin under straps and cuffs.`),
    el("ul.summary", {}, rows),
    el("div.actions", {},
      press("To the list", () => court.list(), { look: "main" }),
      press("Give the entries back as a file", () => court.giveBack())),
  ];
}
