/* Pain said with buttons: where, which side, how much, what it is like; and what it means for the exercise in hand. */

import { el, head, press, upper } from "./dom.js";

const LEVELS = Array.from({ length: 11 }, (_, level) => level);

/**
 * Buttons for one pain.
 * @param {object} court
 * @param {{title: string, known: object[], done: (pain: object) => void}} about `known` places stand first, with one press
 */
export function painChoice(court, { title, known, done }) {
  const { places, feelings } = court.pack.pain;
  const chosen = { place: null, side: undefined, feeling: "as usual", level_0_10: null };
  const box = el("fieldset.pain", {}, el("legend", {}, title));
  const rows = el("div");
  box.append(rows);

  const pick = (key, values, words = upper) =>
    el("div.choices", {}, values.map((value) =>
      press(words(value), () => {
        chosen[key] = value;
        draw();
        if (ready()) done({ place: chosen.place, ...(chosen.side ? { side: chosen.side } : {}), level_0_10: chosen.level_0_10, feeling: chosen.feeling });
      }, { pressed: chosen[key] === value })));
  const sided = () => places.find((each) => each.place === chosen.place)?.sided;
  const ready = () => chosen.place && chosen.level_0_10 !== null && (!sided() || chosen.side);

  function draw() {
    const held = document.activeElement?.textContent;
    rows.replaceChildren(
      known.length && !chosen.other
        ? el("div.choices", {}, known.map((each) =>
            press(upper(each.words), () => {
              Object.assign(chosen, { place: each.place, side: each.side ?? null });
              draw();
            }, { pressed: chosen.place === each.place && (chosen.side ?? null) === (each.side ?? null) })),
            press("Somewhere else", () => {
              Object.assign(chosen, { other: true, place: null, side: undefined });
              draw();
            }))
        : el("div", {}, el("p.ask", {}, "Where?"), pick("place", places.map((each) => each.place)),
            sided() ? [el("p.ask", {}, "Which side?"), pick("side", ["left", "right"])] : null),
      el("p.ask", {}, "What is it like?"),
      pick("feeling", feelings),
      el("p.ask", {}, "How much? 0 is none, 10 the worst that can be thought of"),
      el("div.numbers", {}, LEVELS.map((level) =>
        press(String(level), () => {
          chosen.level_0_10 = level;
          draw();
          if (ready()) done({ place: chosen.place, ...(chosen.side ? { side: chosen.side } : {}), level_0_10: level, feeling: chosen.feeling });
        }, { pressed: chosen.level_0_10 === level }))),
    );
    if (held) [...rows.querySelectorAll("button")].find((each) => each.textContent === held)?.focus();
  }
  draw();
  return box;
}

/** The screen for a pain during an exercise: say it, hear what it means, go on from there. */
export function painScreen(court, item) {
  const answer = el("div.outcome", { role: "status" });
  const next = el("div.actions", {}, press("Back, no pain", () => court.draw()));
  let said = null;
  const choice = painChoice(court, {
    title: item ? `Pain in “${item.variants.planned.title}”` : "Pain",
    known: court.pack.before.pains,
    done: (pain) => {
      said = { ...pain, ...court.painOutcome({ ...pain, level: pain.level_0_10 }) };
      show();
    },
  });

  const save = async (then) => {
    const { because: _because, ...pain } = said;
    await court.say("pain", { exercise: item?.exercise, ...pain });
    if (then) await then();
  };

  function show() {
    const { outcome, because } = said;
    const grave = { "stop the exercise": "This exercise stops", "stop the arm": "Nothing loads this arm today", easier: "This exercise stops as it is" };
    answer.replaceChildren(
      el("p.verdict", {}, el("strong", {}, grave[outcome] ?? (outcome === "go on" ? "Go on" : "Go on with care")), `: ${because}.`),
      outcome === "stop the arm" || outcome === "stop the exercise"
        ? el("p", {}, "Have it looked at by a physiotherapist or doctor, above all when it is new, sharp or wakes at night.")
        : null,
    );
    const variant = item && court.state.variantOf(item.exercise);
    const easier = item?.variants.easier && variant !== "easier";
    const actions = {
      "go on": [press("Save, and go on", () => save(), { look: "main" })],
      "go on with care": [press("Save, and go on with care", () => save(), { look: "main" })],
      easier: [
        easier
          ? press("Save, and take the easier one", () => save(() => court.say("swapped", { exercise: item.exercise, to: "easier" })), {
              look: "main",
              small: item.variants.easier.change,
            })
          : press(item ? "Save: this exercise is over" : "Save", () => save(), { look: "main" }),
        easier ? press("Save, and leave it out", () => save(() => leave(court, item))) : null,
      ],
    };
    actions["stop the exercise"] = [press(item ? "Save: this exercise is over" : "Save", () => save(), { look: "main" })];
    actions["stop the arm"] = [
      press("Save, and end the session", () => save(() => court.finish()), { look: "main" }),
      press("Save, and ask the practitioner about the rest", () => save(), { small: "without this arm" }),
    ];
    next.replaceChildren(...actions[outcome].filter(Boolean), press("Back, not saved", () => court.draw()));
  }

  return [head("Pain"), choice, answer, next];
}

/** After a pain that was said and not yet answered, also when the page was closed in between. */
export function heldScreen(court, item, held) {
  return [
    head(`“${item.variants.planned.title}” stops as it is`),
    el("p.verdict", {}, `${upper(held.because)}.`),
    el("div.actions", {},
      press("Take the easier one", () => court.say("swapped", { exercise: item.exercise, to: "easier" }), {
        look: "main",
        small: item.variants.easier.change,
      }),
      press("Leave it out", () => leave(court, item))),
  ];
}

async function leave(court, item) {
  await court.say("skipped", { exercise: item.exercise, reason: "pain" });
}
