/* A first time: one set, then how hard it was, and what follows by the table of the package. */

import { el, head, press, told, toFoot } from "./dom.js";
import { effortRows, effortSaid, effortValues, scaleWords } from "./effort.js";
import { NOT_TODAY } from "./entries.js";
import { tooMuch } from "./later.js";

const MOST_ASKED = 3;

/** How hard the set of a first time was. */
export function triedScreen(court, item) {
  const done = () => court.say("done", { exercise: item.exercise, as_planned: true, variant: court.state.variantOf(item.exercise) });
  const answer = async (effort) => {
    if (!(await court.log("effort", { exercise: item.exercise, ...effortValues(effort) }))) return;
    const { then, words } = item.first_time_answers.find((each) => (each.effort_6_20 ?? each.feel) === effort) ?? { then: "keep", words: "" };
    const asked = court.state.standing.filter((each) => each.kind === "effort" && each.exercise === item.exercise).length;
    const to = then === "harder" ? "harder" : "easier";
    const isPrepared = item.variants[to] && court.state.variantOf(item.exercise) !== to;
    const notice = tooMuch(court.pack, court.state, effort);
    if (then === "keep" || asked >= MOST_ASKED || (!isPrepared && then !== "stop" && !notice)) await done();
    else court.show("answer", { item, effort, then, words, to: isPrepared ? to : null, notice });
  };
  return [
    head(item.first_time_asks, `“${item.variants.planned.title}”, the first time: ${scaleWords(court.pack)}`),
    effortRows(court.pack, undefined, answer),
    toFoot(null, press("Not asked", done), press("Back", () => court.draw())),
  ];
}

/** What follows from how hard it was. */
export function answerScreen(court, { item, effort, then, words, to, notice }) {
  const take = (look) =>
    to
      ? press(to === "harder" ? "Take the harder one for the next set" : "Take the easier one for the next set", () => court.say("swapped", { exercise: item.exercise, to }), { look, small: item.variants[to].change })
      : null;
  const leave = (look) => press("Leave it at that", () => court.say("done", { exercise: item.exercise, as_planned: true, variant: court.state.variantOf(item.exercise) }), { look });
  const isStop = then === "stop" || !to;
  return [
    head(effortSaid(effort), `“${item.variants.planned.title}”`),
    notice ? told(notice) : null,
    words ? el("p.verdict", {}, `${words}.`) : null,
    isStop ? toFoot(leave("main"), take("plain")) : toFoot(take("main"), leave("plain"), notice ? press("Stop here", () => court.say("skipped", { exercise: item.exercise, reason: NOT_TODAY })) : null),
  ];
}

/** An effort that is above what is meant today, after it was kept. */
export function ceilingScreen(court, { effort, notice }) {
  return [head(`Effort ${effort}`), told(notice), toFoot(press("Go on", () => court.draw(), { look: "main" }))];
}

/** An exercise of an arm that hurt: left out unless somebody says otherwise. */
export function laterScreen(court, item, later) {
  const { exercise } = item;
  return [
    head(`“${item.variants.planned.title}”`, "Rather not today"),
    told(later),
    toFoot(
      press("Leave it out", () => court.say("skipped", { exercise, reason: NOT_TODAY }), { look: "main" }),
      item.variants.easier ? press("The easier one", () => court.say("swapped", { exercise, to: "easier" }), { small: item.variants.easier.change }) : null),
  ];
}
