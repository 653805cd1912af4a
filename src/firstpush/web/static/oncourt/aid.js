/* Something is wrong: what is seen leads to the one matching card, and what was in hand stops. */

import { BAND_CARD } from "./doing.js";
import { clockWords, el, head, press, toFoot } from "./dom.js";
import { mayGoOn, PASSED } from "./flow.js";

const AGAIN_AND_AGAIN = /every \d+ to \d+ minutes/;
const OPPOSITES = ["faintness", "dysreflexia"];
const NO_ANSWER = "no-answer";
const WHO_SAYS_SO = ["The practitioner", "A doctor or nurse"];

/** The signs of this athlete, the gravest first. */
export function signsScreen(court, item) {
  return [
    head("Stop. What do you see?"),
    el("p.ask", {}, "The right card depends on what is seen: two of them ask for the opposite."),
    el("div.signs", {}, inOrder(court, item).flatMap((card) =>
      card.signs.map((sign) =>
        press(sign, async () => {
          // The card is shown whatever becomes of the entry: first aid waits for nothing.
          court.show("card", { card, item, openedMs: Date.now() });
          if (!(await court.log("stopped", { card: card.id, sign, ...(item ? { exercise: item.exercise } : {}) }))) return;
          await court.keepCard(card.id);
          // Drawn again then: what “Undo” takes back is told with it.
          court.redraw();
        })))),
    toFoot(null, item ? press("It is pain", () => court.show("pain", { item })) : null, press("Back, nothing is wrong", () => court.draw())),
  ];
}

/* In an exercise with a band the band is what goes wrong most often: its card stands under those that cannot wait. */
function inOrder(court, item) {
  const cards = oppositesFirst(court.pack.cards);
  const bands = item?.variants[court.state.variantOf(item.exercise)].bands ?? [];
  const band = bands.length ? cards.find((each) => each.id === BAND_CARD) : null;
  if (!band) return cards;
  const others = cards.filter((each) => each !== band);
  const last = others.findLastIndex((each) => [NO_ANSWER, ...OPPOSITES].includes(each.id));
  return [...others.slice(0, last + 1), band, ...others.slice(last + 1)];
}

// The two that ask for the opposite stand together, right under what says so.
function oppositesFirst(cards) {
  const pair = OPPOSITES.map((id) => cards.find((each) => each.id === id)).filter(Boolean);
  const first = cards.filter((each) => each.id === NO_ANSWER);
  return pair.length < OPPOSITES.length ? cards : [...first, ...pair, ...cards.filter((each) => !pair.includes(each) && !first.includes(each))];
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
  if (court.state.ended) return toFoot(press("Close the card", () => court.closeCard(), { look: "main" }));
  // Nobody is asked how hard it was in the middle of first aid.
  const end = async () => {
    await court.keepCard(card.id);
    if (await court.log("ended", { minutes: court.minutesSoFar() })) court.redraw();
  };
  const others = press("Other signs", () => court.show("signs", item));
  if (card.ends === "session" || !mayGoOn(card)) {
    // What the card itself calls the end of the day has no way on: neither here nor by another card.
    const passed = mayGoOn(card) && !court.state.isOver ? press("It has passed …", () => court.show("passed", { card, item })) : null;
    return toFoot(press("End the session", end, { look: "main" }), others, passed);
  }
  return toFoot(
    press(item ? "This exercise is over: go on with the next" : "Go on", () => court.closeCard(), { look: "main" }),
    others,
    press("End the session", end));
}

/** Asked once more before a session goes on after its card: who says so is kept as an entry. */
export function passedScreen(court, { card, item }) {
  const say = async (who) => {
    if (await court.log("note", { words: `${PASSED}, after “${card.title}”: ${who.toLowerCase()} says so` })) await court.closeCard();
  };
  return [
    head("Has all of it passed?", card.title),
    el("p.verdict", {}, "Every sign is gone, and what set it off is found. Somebody qualified says so, not the athlete alone."),
    toFoot(
      press("No: back to the card", () => court.show("card", { card, item }), { look: "main" }),
      WHO_SAYS_SO.map((who) => press(`${who} says so`, () => say(who)))),
  ];
}
