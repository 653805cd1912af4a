/* Before we start: one press when everything is as usual; else each question, and pain by its place. */

import { el, head, press, told, upper } from "./dom.js";
import { painChoice } from "./pain.js";

const GRAVEST = ["none", "shorten", "ease", "first", "stop"];
const EFFECT_WORDS = {
  first: "Put this right first, then start.",
  stop: "No session now.",
  ease: "Today the easier variants come first.",
  shorten: "Today one set less each, and more breaks.",
};

/**
 * @param {object} court package, run and `say`
 * @returns {HTMLElement[]}
 */
export function beforeScreen(court) {
  const { pack } = court;
  const given = { answers: {}, pains: [] };
  const more = el("div.questions", { hidden: true });
  const outcome = el("div.outcome", { role: "status" });
  const start = el("div.actions");

  const plain = async () => {
    const answers = Object.fromEntries(pack.before.questions.map((each) => [each.id, each.answers[0].says]));
    const pains = pack.before.pains
      .filter((each) => each.usual !== null && painOf(court, each, each.usual).goesOn)
      .map((each) => ({ place: each.place, side: each.side, level_0_10: each.usual, feeling: "as usual" }));
    await court.say("before", { answers, pains, effects: [] });
  };
  const allUsual = pack.before.pains.every((each) => each.usual !== null && painOf(court, each, each.usual).goesOn);

  function show() {
    const found = effectsOf(court, given);
    outcome.replaceChildren(...found.notices.map(told), ...found.effects.map((each) => el("p.effect", {}, EFFECT_WORDS[each])));
    const stops = found.effects.includes("stop") || found.effects.includes("first");
    const all = pack.before.questions.every((each) => given.answers[each.id]);
    start.replaceChildren(
      stops
        ? press("Ask again", () => court.draw())
        : press("Begin", () => court.say("before", { ...given, effects: found.effects }), {
            look: "main",
            small: all ? "" : "what was not answered counts as usual",
          }),
      stops ? press("No session today", () => court.say("ended", { minutes: 0 })) : null,
    );
  }

  more.append(
    ...pack.before.questions.map((question) => questionGroup(question, (says) => ((given.answers[question.id] = says), show()))),
    painChoice(court, {
      title: "Pain now, by its place",
      known: pack.before.pains,
      done: (pain) => {
        given.pains = [...given.pains.filter((each) => !samePlace(each, pain)), pain];
        show();
      },
    }),
  );

  const usual = pack.before.pains.length
    ? `Pain as usual: ${pack.before.pains.map((each) => `${each.words} ${each.usual ?? "not known"}`).join(", ")} of 10. `
    : "No pain. ";
  start.append(
    allUsual
      ? press("All as usual: begin", plain, { look: "main" })
      : press("Answer before the start", () => unfold(), { look: "main" }),
    press("Something is different", () => unfold()),
  );
  function unfold() {
    more.hidden = false;
    asked.hidden = true;
    show();
    more.querySelector("button")?.focus();
  }

  const asked = el("ul.asked", {}, el("li", {}, usual), ...pack.before.questions.map((each) => el("li", {}, `${each.asks} ${upper(each.answers[0].says)}.`)));
  return [
    head("Before we start"),
    ...pack.notices.filter((each) => each.level !== "note").map(told),
    asked,
    more,
    outcome,
    start,
  ];
}

function questionGroup(question, chosen) {
  const buttons = question.answers.map((answer) =>
    press(upper(answer.says), () => {
      buttons.forEach((each) => each.setAttribute("aria-pressed", String(each === buttons[question.answers.indexOf(answer)])));
      chosen(answer.says);
    }, { pressed: false }),
  );
  return el("fieldset", {}, el("legend", {}, question.asks), el("div.choices", {}, buttons));
}

function samePlace(first, second) {
  return first.place === second.place && (first.side ?? null) === (second.side ?? null);
}

function painOf(court, { place, side }, level, feeling = "as usual") {
  const outcome = court.painOutcome({ place, side, feeling, level });
  return { ...outcome, goesOn: outcome.outcome === "go on" || outcome.outcome === "go on with care" };
}

/** What the answers and pains ask for together; each effect once, the gravest first. */
export function effectsOf(court, { answers, pains }) {
  const told_ = [];
  const effects = new Set();
  for (const question of court.pack.before.questions) {
    const answer = question.answers.find((each) => each.says === answers[question.id]);
    if (answer?.what) told_.push(answer);
    if (answer && answer.effect !== "none") effects.add(answer.effect);
  }
  for (const pain of pains) {
    const { outcome, because } = painOf(court, pain, pain.level_0_10, pain.feeling);
    const effect = court.pack.pain.effects[outcome];
    if (effect !== "none") {
      effects.add(effect);
      told_.push({
        level: effect === "stop" ? "stop" : "caution",
        what: `${[pain.side, pain.place].filter(Boolean).join(" ")}: ${because}`,
        do: effect === "stop" ? "Have it looked at first; nothing loads it today" : "The easier variants; stop when it rises",
      });
    }
  }
  told_.sort((a, b) => (a.level === "stop" ? 0 : 1) - (b.level === "stop" ? 0 : 1));
  return { notices: told_, effects: [...effects].sort((a, b) => GRAVEST.indexOf(b) - GRAVEST.indexOf(a)) };
}
