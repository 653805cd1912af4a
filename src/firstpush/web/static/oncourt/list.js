/* The sessions on this device, and those that can be fetched while there is signal. */

import { el, head, press, told, toFoot } from "./dom.js";
import { stopNotice } from "./today.js";

/** @param {object} app @returns {HTMLElement[]} */
export function listScreen(app) {
  const rows = app.sessions.map((session) => {
    const { pack, state } = session;
    const where = state.ended ? "over" : session.run ? `${state.progress.closed} of ${state.progress.of} done` : "on this device, not begun";
    const words = session.run ? (state.ended ? "Look at it" : "Go on") : "Begin";
    const stop = app.stopToday({ pack });
    return el("li", {},
      stop ? told({ ...stopNotice(stop), do: "" }) : null,
      el("p.what", {}, el("strong", {}, session.who), `${pack.title}, ${pack.minutes} minutes · ${where}`),
      press(words, () => app.open(session), { look: session.run && !state.ended ? "main" : "plain", label: `${words}: ${pack.athlete.name}` }),
      state.ended ? press("Once more", () => app.again(session.whole), { label: `Once more: ${pack.athlete.name}` }) : null);
  });
  const more = app.offered.filter((each) => !app.sessions.some(({ pack }) => pack.plan === each.plan && pack.version === each.version));
  // A file sends nothing by itself: giving its entries back is what is left to do.
  const mustGive = app.alone && app.counts?.notHome > 0 && !app.sessions.some((each) => each.running);
  return [
    head("On court"),
    app.store.words ? el("p.trouble", {}, app.store.words) : null,
    rows.length ? el("ul.oncourt-list", {}, rows) : el("p", {}, "No session is on this device yet."),
    more.length ? el("h2", {}, "Fetch while there is signal") : null,
    more.length
      ? el("ul.oncourt-list", {}, more.map((each) =>
          el("li", {},
            each.stopped_today ? told({ ...stopNotice(each.stopped_today), do: "" }) : null,
            el("p.what", {}, el("strong", {}, [each.number ?? null, each.athlete].filter((part) => part !== null).join(" ")), [each.title, each.date].filter(Boolean).join(", ")),
            press("Fetch", () => app.fetchPackage(each), { label: `Fetch: ${each.athlete}` }))))
      : null,
    reachWords(app),
    el("div.choices", {},
      app.counts?.onDevice && !mustGive ? press("Give the entries back as a file", () => app.giveBack(null)) : null,
      app.alone ? null : soundSwitch(app, "voice", "Voice"),
      soundSwitch(app, "beep", "Beep")),
    mustGive ? toFoot(press("Give the entries back", () => app.giveBack(null), { look: "main", small: `${app.counts.notHome} not yet at home` })) : null,
  ];
}

function soundSwitch(app, which, words) {
  const made = press(`${words}: ${app.sound[which] ? "on" : "off"}`, () => app.setSound(which), { pressed: app.sound[which] });
  made.classList.add("press-switch");
  return made;
}

/* Why nothing is fetched or sent now; nothing is said while it is being tried. */
function reachWords(app) {
  if (app.alone) return el("p.aside", {}, "This file works without signal. What is said stays in this browser until you give it back as a file.");
  switch (app.reach) {
    case "no signal":
      return el("p.aside", {}, "No signal: everything on this device can be done; entries are sent when there is signal again.");
    case "login":
      return el("p.aside", {}, "Nobody is logged in in this browser: nothing is lost, and nothing is sent until then. ", el("a.press", { href: app.loginPage }, "Log in again"));
    case "run out":
      return el("p.aside", {}, "This link has run out. Ask for a new one; what is on this device can be done.");
    case "answered":
      return el("p.aside", {}, "The application answered with a fault. Everything on this device can be done; it is tried again.");
    default:
      return null;
  }
}
