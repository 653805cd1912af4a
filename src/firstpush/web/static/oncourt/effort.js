/* How hard it was, 6 to 20: the numbers of a zone in one row, beside its name. */

import { el, head, press, toFoot, upper } from "./dom.js";
import { FEELS } from "./entries.js";
import { tooMuch } from "./later.js";
import { plainZone } from "./plain.js";

/** What is kept of an answer: a number of 6 to 20, or a word where the athlete is asked in words. */
export const effortValues = (answer) => (typeof answer === "string" ? { feel: answer } : { effort_6_20: answer });

/** An answer as it is read back. */
export const effortSaid = (answer) => (typeof answer === "string" ? `It felt ${answer}` : `Effort ${answer}`);

/** What the ends of the scale mean. */
export const scaleWords = (pack) => (pack.effort_in_words ? "Easy, right or hard" : "6 is no effort at all, 20 is all you have");

/** Rows of presses, one for each zone; three words where the athlete is asked in words. */
export function effortRows(pack, chosen, work) {
  if (pack.effort_in_words) {
    return el("div.choices", {}, FEELS.map((feel) => press(upper(feel), () => work(feel), { pressed: chosen === undefined ? undefined : chosen === feel })));
  }
  const zones = [...new Set(pack.efforts.map((each) => each.zone))];
  return el("div.efforts", {}, zones.map((zone) =>
    el("div.effort-row", { role: "group", "aria-label": plainZone(zone) },
      el("p", {}, plainZone(zone), plainZone(zone) === zone ? null : el("small", {}, ` ${zone}`)),
      el("div.numbers", {}, pack.efforts.filter((each) => each.zone === zone).map((each) =>
        press(String(each.effort_6_20), () => work(each.effort_6_20), {
          pressed: chosen === undefined ? undefined : chosen === each.effort_6_20,
          label: `${each.effort_6_20}, ${plainZone(zone)}`,
        }))))));
}

/** How hard a part was. */
export function effortScreen(court, part) {
  return [
    head(`How hard was the ${part} part?`, scaleWords(court.pack)),
    effortRows(court.pack, undefined, async (value) => {
      const notice = tooMuch(court.pack, court.state, value);
      if (!(await court.log("effort", { part, ...effortValues(value) }))) return;
      if (notice) court.show("ceiling", { effort: value, notice });
      else court.draw();
    }),
    toFoot(null, press("Not asked", () => court.leaveOut(`effort ${part}`))),
  ];
}
