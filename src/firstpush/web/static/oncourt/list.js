/* The sessions on this device, and those that can be fetched while there is signal. */

import { el, head, press } from "./dom.js";

/** @param {object} app @returns {HTMLElement[]} */
export function listScreen(app) {
  const rows = app.sessions.map((session) => {
    const { pack, state } = session;
    const where = state.ended ? "over" : session.run ? `${state.progress.closed} of ${state.progress.of} done` : "on this device, not begun";
    const words = session.run ? (state.ended ? "Look at it" : "Go on") : "Begin";
    return el("li", {},
      el("p.what", {}, el("strong", {}, session.who), `${pack.title}, ${pack.minutes} minutes · ${where}`),
      press(words, () => app.open(session), { look: session.run && !state.ended ? "main" : "plain", label: `${words}: ${pack.athlete.name}` }),
      state.ended ? press("Once more", () => app.again(pack), { label: `Once more: ${pack.athlete.name}` }) : null);
  });
  const more = app.offered.filter((each) => !app.sessions.some(({ pack }) => pack.plan === each.plan && pack.version === each.version));
  return [
    head("On court"),
    app.store.words ? el("p.trouble", {}, app.store.words) : null,
    rows.length ? el("ul.oncourt-list", {}, rows) : el("p", {}, "No session is on this device yet."),
    more.length ? el("h2", {}, "Fetch while there is signal") : null,
    more.length
      ? el("ul.oncourt-list", {}, more.map((each) =>
          el("li", {},
            el("p.what", {}, el("strong", {}, each.athlete), each.title),
            press("Fetch", () => app.fetchPackage(each), { label: `Fetch: ${each.athlete}` }))))
      : null,
    app.reachable ? null : el("p.aside", {}, app.alone ? "This file works without signal. What is said stays in this browser until you give it back as a file." : "The application cannot be reached now. Everything on this device can be done; entries are sent when it can."),
    el("div.actions", {},
      app.counts?.onDevice ? press("Give the entries back as a file", () => app.giveBack(null)) : null,
      app.alone ? null : press(app.sound.voice ? "Voice: on" : "Voice: off", () => app.setSound("voice"), { pressed: app.sound.voice }),
      press(app.sound.beep ? "Beep: on" : "Beep: off", () => app.setSound("beep"), { pressed: app.sound.beep })),
  ].filter(Boolean);
}
