/* Several athletes on one device: a row of presses, the current one large above, the clocks of the others going on. */

import { clockWords, el, press } from "./dom.js";
import { phaseWords } from "./timer.js";

/**
 * @param {object[]} sessions that run
 * @param {object|null} current
 * @param {(session: object) => void} choose
 */
export function othersRow(sessions, current, choose) {
  const row = el("ul.others", { "aria-label": "Athletes in a session" });
  row.hidden = sessions.length < 2;
  row.append(...sessions.map((session) => {
    const made = press(session.who, () => choose(session), { pressed: session === current, small: " " });
    made.dataset.run = session.run ?? "";
    return el("li", {}, made);
  }));
  return row;
}

/** Write where each clock stands under its name. */
export function tellClocks(row, sessions) {
  for (const session of sessions) {
    const small = row.querySelector(`[data-run="${session.run ?? ""}"] small`);
    if (!small) continue;
    const { told } = session.timer;
    const { progress } = session.state;
    const words = told ? `${phaseWords(told)} ${told.over ? "" : clockWords(told.secondsLeft)}`.trim() : `${progress.closed} of ${progress.of}`;
    if (small.textContent !== words) small.textContent = words;
  }
}
