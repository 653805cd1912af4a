/* A first time: one set, then how hard it was, and what follows by the table of the package. */

import { el, head, press, told, toFoot } from "./dom.js";
import { effortRows, effortSaid, effortValues, scaleWords } from "./effort.js";
import { PAIN_EARLIER, TOO_HARD } from "./entries.js";

/** How hard the set of a first time was. */
export function triedScreen(court, item) {
  const setsSoFar = () => court.firstOf(item)?.sets ?? 0;
  const done = (sets) => court.say("done", court.doneValues(item, sets));
  const answer = async (effort) => {
    if (!(await court.log("effort", { exercise: item.exercise, ...effortValues(effort) }))) return;
    // The clock of the set that is over is no clock of the one that may follow.
    court.timerOver(item.exercise);
    if (court.firstOf(item)?.next === "over") await done(setsSoFar());
    else court.draw();
  };
  return [
    head(item.first_time_asks, `“${item.variants.planned.title}”, the first time: ${scaleWords(court.pack)}`),
    effortRows(court.pack, undefined, answer),
    toFoot(null, press("Not asked", () => done(setsSoFar() + 1)), press("Back", () => court.draw())),
  ];
}

/** What follows from how hard it was. */
export function answerScreen(court, item) {
  const { sets, effort, then, words = "", to, notice, next } = court.firstOf(item);
  const take = (look) =>
    to
      ? press(to === "harder" ? "Take the harder one for the next set" : "Take the easier one for the next set", () => court.say("swapped", { exercise: item.exercise, to }), { look, small: item.variants[to].change })
      : null;
  const leave = (look) => press("Leave it at that", () => court.say("done", court.doneValues(item, sets)), { look });
  const isStop = then === "stop" || !to || next === "over";
  return [
    head(effortSaid(effort), `“${item.variants.planned.title}”`),
    notice ? told(notice) : null,
    words ? el("p.verdict", {}, `${words}.`) : null,
    isStop ? toFoot(leave("main"), next === "over" ? null : take("plain")) : toFoot(take("main"), leave("plain"), notice ? press("Stop here", () => court.say("skipped", { exercise: item.exercise, reason: TOO_HARD })) : null),
  ];
}

/** An effort of a part that is above what is meant today, after it was kept: what is left is made easier, or left. */
export function ceilingScreen(court, { effort, notice }) {
  const easier = court.openItems().filter((each) => each.variant !== "easier" && court.pack.items.find(({ exercise }) => exercise === each.exercise).variants.easier);
  const take = async () => (await court.logAll(easier, "swapped", { to: "easier" })) && court.draw();
  const goOn = (look) => press("Go on as planned", () => court.draw(), { look });
  return [
    head(`Effort ${effort}`),
    told(notice),
    easier.length
      ? toFoot(press("The easier ones from here", take, { look: "main", small: easier.length === 1 ? "one exercise" : `${easier.length} exercises` }), goOn("plain"), press("End the session", () => court.finish()))
      : toFoot(goOn("main"), press("End the session", () => court.finish())),
  ];
}

/** An exercise of an arm that hurt: left out unless somebody says otherwise. */
export function laterScreen(court, item, later) {
  const { exercise } = item;
  const same = court.openItems().filter((each) => each.later?.offer === "leave out");
  const leaveAll = async () => (await court.logAll(same, "skipped", { reason: PAIN_EARLIER })) && court.draw();
  return [
    head(`“${item.variants.planned.title}”`, "Rather not today"),
    told(later),
    toFoot(
      press("Leave it out", () => court.say("skipped", { exercise, reason: PAIN_EARLIER }), { look: "main" }),
      same.length > 1 ? press("Leave out all that loads this arm", leaveAll, { small: `${same.length} exercises` }) : null,
      court.sparesArm(item) ? press("The easier one", () => court.say("swapped", { exercise, to: "easier" }), { small: item.variants.easier.change }) : null,
      press("End the session", () => court.finish())),
  ];
}
