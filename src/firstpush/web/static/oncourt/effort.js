/* How hard it was, 6 to 20: the numbers of a zone in one row, beside its name. */

import { el, head, press, toFoot } from "./dom.js";
import { tooMuch } from "./later.js";
import { plainZone } from "./plain.js";

/** Rows of presses, one for each zone. */
export function effortRows(pack, chosen, work) {
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
    head(`How hard was the ${part} part?`, "6 is no effort at all, 20 is all you have"),
    effortRows(court.pack, undefined, async (value) => {
      const notice = tooMuch(court.pack, court.state, value);
      if (!(await court.log("effort", { part, effort_6_20: value }))) return;
      if (notice) court.show("ceiling", { effort: value, notice });
      else court.draw();
    }),
    toFoot(null, press("Not asked", () => court.leaveOut(`effort ${part}`))),
  ];
}
