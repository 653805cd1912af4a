/* Something is wrong: what is seen leads to the one matching card, and what was in hand stops. */

import { el, head, press } from "./dom.js";

/** The signs of this athlete, the gravest first. */
export function signsScreen(court, item) {
  return [
    head("Something is wrong: what do you see?"),
    el("p.ask", {}, "Stop first. The right card depends on what is seen: two of them ask for the opposite."),
    el("div.signs", {}, court.pack.cards.flatMap((card) =>
      card.signs.map((sign) =>
        press(sign, async () => {
          // The card is shown whatever becomes of the entry: first aid waits for nothing.
          court.show("card", { card, item });
          await court.log("stopped", { card: card.id, sign, ...(item ? { exercise: item.exercise } : {}) });
        })))),
    el("div.actions", {}, item ? press("It is pain", () => court.show("pain", item)) : null, press("Back, nothing is wrong", () => court.draw())),
  ];
}

/** One first-aid card. */
export function cardScreen(court, { card, item }) {
  const ends = card.ends === "session";
  return [
    head(card.title),
    el("ol.aid", {}, card.do.map((each) => el("li", {}, `${each}.`))),
    el("p.ask", {}, "This card is no treatment: licensed practice and local rules come first."),
    el("div.actions", {},
      ends
        ? press("End the session", () => court.finish(), { look: "main" })
        : press(item ? "This exercise is over: go on with the next" : "Go on", () => court.draw(), { look: "main" }),
      press("Other signs", () => court.show("signs", item)),
      ends ? press("It passed, and the practitioner says go on", () => court.draw()) : press("End the session", () => court.finish())),
  ];
}
