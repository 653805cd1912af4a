/* Several athletes on one device: a row of presses, the current one large above, the clocks of the others going on. */

import { clockShown } from "./clock.js";
import { el, press } from "./dom.js";

/**
 * @param {object[]} sessions that run
 * @param {object|null} current
 * @param {(session: object) => void} choose
 */
export function othersRow(sessions, current, choose) {
  const row = el("ul.others", { "aria-label": "Athletes in a session" });
  row.hidden = sessions.length < 2;
  row.append(...sessions.map((session) => {
    const made = press(session.who, () => choose(session), { pressed: session === current, small: el("small") });
    made.dataset.run = session.run ?? "";
    return el("li", {}, made);
  }));
  return row;
}

/** Write where each clock stands under its name, in the words of the clock's own screen. */
export function tellClocks(row, sessions) {
  for (const session of sessions) {
    const small = row.querySelector(`[data-run="${session.run ?? ""}"] small`);
    if (!small) continue;
    const { timer } = session;
    const { progress } = session.state;
    const shown = timer.told ? clockShown(timer.told, session.variantInHand(), timer.about()) : null;
    const words = shown ? [shown.doing, shown.time].filter(Boolean).join(" · ") : `${progress.closed} of ${progress.of}`;
    if (small.textContent !== words) small.textContent = words;
  }
}
