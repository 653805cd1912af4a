/* Pain, one question a screen: where, which side, how much, what it is like; then what it means, and one press to note it.
   What is said so far stands on top, and a press on it changes it. Nothing is chosen beforehand. */

import { el, head, press, toFoot, upper } from "./dom.js";

const LEVELS = Array.from({ length: 11 }, (_, level) => level);
const GRAVE = {
  "go on": "Go on",
  "go on with care": "Go on with care",
  easier: "This exercise stops as it is",
  "stop the exercise": "This exercise stops",
  "stop the arm": "Nothing loads this arm today",
};
const QUESTIONS = { place: "Where is it?", side: "Which side?", level_0_10: "How much is it?", feeling: "What is it like?" };
const AS_USUAL = "as usual";
const MORE_THAN_USUAL = "more than usual";
const FEELING_WORDS = { [AS_USUAL]: "as usual here: known, no worse", [MORE_THAN_USUAL]: "known, but more than usual" };

/** What of a pain was not said yet; null when all was. */
export function missingOfPain(pack, { place, side, level_0_10: level, feeling }) {
  if (!place) return "place";
  if (pack.pain.places.find((each) => each.place === place)?.sided && !side) return "side";
  if (level === undefined) return "level_0_10";
  // No pain has no kind.
  return level > 0 && !feeling ? "feeling" : null;
}

/** What a pain can be like: "no worse" not where it is above the usual level of its place, "more" not where it is at most that. */
export function feelingsOf(pack, { place, side, level_0_10: level }) {
  const usual = pack.before.pains.find((each) => each.place === place && (each.side ?? null) === (side ?? null))?.usual ?? null;
  const all = pack.pain.feelings;
  // A package of an earlier release has no word for more than usual.
  if (usual === null || !all.includes(MORE_THAN_USUAL)) return all;
  return all.filter((each) => each !== (level > usual ? AS_USUAL : MORE_THAN_USUAL));
}

/** A pain as an entry has it. */
export function wholePain({ place, side, level_0_10, feeling }) {
  return { place, ...(side ? { side } : {}), level_0_10, feeling: level_0_10 > 0 ? feeling : "as usual" };
}

/** What is known of a pain beforehand. */
export function knownWords({ usual, now = null }) {
  return [usual === null ? "known" : `usual ${usual}`, now === null ? "" : `now ${now}`].filter(Boolean).join(", ");
}

/** A pain in words. */
export function painWords({ place, side, level_0_10: level, feeling }) {
  return [upper([side, place].filter(Boolean).join(" ")), level === undefined ? "" : `${level} of 10`, level ? feeling : ""].filter(Boolean).join(", ");
}

/**
 * The screen of a pain.
 * @param {object} court
 * @param {{item?: object, leaving?: boolean, chosen?: object, done?: (pain: object) => void, back?: (half: object) => void}} about
 *   `leaving`: the exercise is left out because of it; `done` and `back` where it is said before the start
 */
export function painScreen(court, about) {
  const chosen = (about.chosen ??= {});
  const missing = missingOfPain(court.pack, chosen);
  if (!missing && about.done) {
    return verdictScreen(court, about, [press("Note it", () => about.done(wholePain(chosen)), { look: "main" })]);
  }
  return missing ? questionScreen(court, about, missing) : verdictScreen(court, about, answersTo(court, about));
}

function questionScreen(court, about, missing) {
  const { chosen } = about;
  const choose = (values) => {
    Object.assign(chosen, values);
    // Another level can make untrue what was said of it.
    if (chosen.level_0_10 > 0 && chosen.feeling && !feelingsOf(court.pack, chosen).includes(chosen.feeling)) delete chosen.feeling;
    court.show("pain", about);
  };
  const title = about.item ? `Pain in “${about.item.variants.planned.title}”` : "Pain";
  return [
    head(QUESTIONS[missing], title),
    soFar(court, about),
    { place: whereChoices, side: sideChoices, level_0_10: levelChoices, feeling: feelingChoices }[missing](court, about, choose),
    toFoot(null, press(about.back || Object.keys(chosen).length ? "Back" : "Back, no pain", () => goBack(court, about))),
  ];
}

function whereChoices(court, about, choose) {
  const known = court.pack.before.pains;
  const places = court.pack.pain.places;
  return el("div", {},
    known.length && !about.elsewhere
      ? el("div.choices.choices-tall", {},
          known.map((each) => press(upper(each.words), () => choose({ place: each.place, side: each.side ?? undefined }), { small: knownWords(each) })),
          press("Somewhere else", () => ((about.elsewhere = true), court.show("pain", about))))
      : el("div.choices.choices-two", {}, places.map((each) => press(upper(each.place), () => choose({ place: each.place })))));
}

function sideChoices(court, about, choose) {
  return el("div.choices.choices-two.choices-tall", {}, ["left", "right"].map((side) => press(upper(side), () => choose({ side }))));
}

function levelChoices(court, about, choose) {
  return el("div", {},
    el("p.ask", {}, "0 is none, 10 the worst that can be thought of"),
    el("div.numbers.numbers-tall", {}, LEVELS.map((level) => press(String(level), () => choose({ level_0_10: level }), { label: `${level} of 10` }))));
}

function feelingChoices(court, about, choose) {
  return el("div.choices.choices-tall", {}, feelingsOf(court.pack, about.chosen).map((feeling) => press(upper(FEELING_WORDS[feeling] ?? feeling), () => choose({ feeling }))));
}

/** What was said, each a press that asks it again. */
function soFar(court, about) {
  const { chosen } = about;
  const again = (keys) => {
    for (const key of keys) delete chosen[key];
    court.show("pain", about);
  };
  const said = [
    chosen.place ? [upper([chosen.side, chosen.place].filter(Boolean).join(" ")), ["place", "side", "feeling"]] : null,
    chosen.level_0_10 === undefined ? null : [`${chosen.level_0_10} of 10`, ["level_0_10"]],
    chosen.feeling && chosen.level_0_10 ? [upper(chosen.feeling), ["feeling"]] : null,
  ].filter(Boolean);
  return said.length ? el("div.so-far", {}, said.map(([words, keys]) => press(words, () => again(keys), { small: "change", label: `${words}: change` }))) : null;
}

function goBack(court, about) {
  if (about.back) return about.back(about.chosen);
  const { chosen } = about;
  const last = ["feeling", "level_0_10", "side", "place"].find((key) => chosen[key] !== undefined);
  if (!last) return about.leaving ? court.show("leave", about.item) : court.draw();
  delete chosen[last];
  court.show("pain", about);
}

function verdictScreen(court, about, [main, ...others]) {
  const pain = wholePain(about.chosen);
  const { outcome, because } = court.painOutcome({ ...pain, level: pain.level_0_10 });
  const isGrave = outcome === "stop the arm" || outcome === "stop the exercise";
  const verdict = about.done ? effectWords(court, outcome) : GRAVE[outcome];
  return [
    head(painWords(pain), about.item ? `Pain in “${about.item.variants.planned.title}”` : "Pain"),
    el("div.verdict", {}, el("p", {}, el("strong", {}, verdict), `: ${because}.`),
      isGrave ? el("p", {}, "Have it looked at by a physiotherapist or doctor, above all when it is new, sharp or wakes at night.") : null),
    soFar(court, about),
    toFoot(main, others, press("Back, not noted", () => (about.back ? about.back(about.chosen) : court.draw()))),
  ];
}

function effectWords(court, outcome) {
  return { stop: "No session now", ease: "Today the easier ones" }[court.pack.pain.effects[outcome]] ?? GRAVE[outcome];
}

function answersTo(court, about) {
  const { item, chosen, leaving } = about;
  const pain = wholePain(chosen);
  const { outcome } = court.painOutcome({ ...pain, level: pain.level_0_10 });
  // Said once, also when what comes after could not be kept and is pressed again.
  const save = (then = null) => async () => {
    about.kept ||= await court.log("pain", { ...(item ? { exercise: item.exercise } : {}), ...pain, outcome });
    if (about.kept) await (then ? then() : court.draw());
  };
  const skip = () => skipForPain(court, item);
  const over = press(item ? "Note it: this exercise is over" : "Note it", save(), { look: "main" });
  if (outcome === "stop the exercise") return [over];
  if (outcome === "stop the arm") {
    return [
      press("Note it, and end the session", save(() => court.finish()), { look: "main" }),
      press("Note it, and ask the practitioner", save(), { small: "about the rest, without this arm" }),
    ];
  }
  if (leaving) return [press("Note it, and leave the exercise out", save(skip), { look: "main" })];
  if (outcome !== "easier") return [press(`Note it, and ${outcome}`, save(), { look: "main" })];
  const easier = item?.variants.easier && court.state.variantOf(item.exercise) !== "easier" ? item.variants.easier : null;
  if (!easier) return [over];
  return [
    press("Note it, and take the easier one", save(() => court.say("swapped", { exercise: item.exercise, to: "easier" })), { look: "main", small: easier.change }),
    press("Note it, and leave it out", save(skip)),
  ];
}

/** After a pain that was said and not yet answered, also when the page was closed in between. */
export function heldScreen(court, item, held) {
  return [
    head(`“${item.variants.planned.title}” stops as it is`),
    el("div.verdict", {}, el("p", {}, `${upper(held.because)}.`)),
    toFoot(
      press("Take the easier one", () => court.say("swapped", { exercise: item.exercise, to: "easier" }), { look: "main", small: item.variants.easier.change }),
      press("Leave it out", () => skipForPain(court, item))),
  ];
}

async function skipForPain(court, item) {
  await court.say("skipped", { exercise: item.exercise, reason: "pain" });
}
