/* Something is wrong: what is seen leads to the one matching card, and what was in hand stops. */

import { clockWords, el, head, press, toFoot } from "./dom.js";

const AGAIN_AND_AGAIN = /every \d+ to \d+ minutes/;

/** The signs of this athlete, the gravest first. */
export function signsScreen(court, item) {
  return [
    head("Stop. What do you see?"),
    el("p.ask", {}, "The right card depends on what is seen: two of them ask for the opposite."),
    el("div.signs", {}, court.pack.cards.flatMap((card) =>
      card.signs.map((sign) =>
        press(sign, async () => {
          // The card is shown whatever becomes of the entry: first aid waits for nothing.
          court.show("card", { card, item, openedMs: Date.now() });
          // Drawn again then: what “Undo” takes back is told with it.
          if (await court.log("stopped", { card: card.id, sign, ...(item ? { exercise: item.exercise } : {}) })) court.redraw();
        })))),
    toFoot(null, item ? press("It is pain", () => court.show("pain", { item })) : null, press("Back, nothing is wrong", () => court.draw())),
  ];
}

/** One first-aid card. It stays until a hand closes it, also when the session ends meanwhile. */
export function cardScreen(court, about) {
  const { card, item } = about;
  const openedMs = (about.openedMs ??= Date.parse(court.state.stopped?.at ?? "") || Date.now());
  return [
    head(card.title),
    el("ol.aid", {}, card.do.map((each) => el("li", {}, `${each}.`, AGAIN_AND_AGAIN.test(each) ? sinceOpened(court, openedMs) : null))),
    card.calls_for_help ? el("p.help", {}, "Help: call your emergency number, and say where you are.") : null,
    el("p.ask", {}, "This card is no treatment: licensed practice and local rules come first."),
    court.state.ended ? el("p.effect", { role: "status" }, "The session is over. The card stays until you close it.") : undoOfCard(court),
    cardFoot(court, { card, item }),
  ];
}

function sinceOpened(court, openedMs) {
  const shown = el("b.since", { role: "timer", "aria-live": "off" });
  court.eachTick(() => (shown.textContent = ` ${clockWords((Date.now() - openedMs) / 1000)} since this card was opened`));
  return shown;
}

// Far from where a thumb rests: the card is read first.
function undoOfCard(court) {
  return el("div.choices", {}, press("Undo", () => court.undo(), { small: el("small.said", {}, " ", court.lastWords()) }));
}

function cardFoot(court, { card, item }) {
  if (court.state.ended) return toFoot(press("Close the card", () => court.draw(), { look: "main" }));
  // Nobody is asked how hard it was in the middle of first aid.
  const end = async () => {
    if (await court.log("ended", { minutes: court.minutesSoFar() })) court.redraw();
  };
  const others = press("Other signs", () => court.show("signs", item));
  if (card.ends === "session") return toFoot(press("End the session", end, { look: "main" }), others, press("It passed: go on", () => court.draw(), { small: "the practitioner says so" }));
  return toFoot(
    press(item ? "This exercise is over: go on with the next" : "Go on", () => court.draw(), { look: "main" }),
    others,
    press("End the session", end));
}
