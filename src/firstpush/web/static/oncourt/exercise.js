/* One exercise: dose, where and with what, the cue, its drawing; one press when it went as planned. */

import { cautionsFolded } from "./cautions.js";
import { courseDrawing, courseFacts, courseOf, courseTapes } from "./course.js";
import { damagedBand } from "./doing.js";
import { el, fact, head, press, told, toFoot, upper } from "./dom.js";
import { PAIN_EARLIER, SKIP_REASONS } from "./entries.js";
import { plainDose } from "./plain.js";

const LARGE_FACTS = 4;
// Where a hand looks for the place first.
const FIRST_FACTS = ["Distance", "Post", "Band", "Floor"];
const LONG_VALUE = 36;
const WIDE = 1.4;
// Said by the screen that leaves an exercise out for a pain of another one.
const BY_ITSELF = [PAIN_EARLIER];

/** Where in the session an exercise stands. */
export function placeWords(court, item) {
  const name = court.state.variantOf(item.exercise);
  return `${item.number} of ${court.pack.items.length} · ${item.part}${name === "planned" ? "" : ` · the ${name} one`}`;
}

/** The drawing, with a class that says whether it is wide. */
export function drawingOf(court, item, name) {
  if (courseOf(item, name)) return courseDrawing(court, item, name);
  const variant = item.variants[name];
  const [, width, height] = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(variant.figure || item.variants.planned.figure) ?? [];
  const wide = Number(width) > WIDE * Number(height);
  return el(`img.figure${wide ? ".figure-wide" : ""}`, { src: court.figure(item, name), alt: `${variant.title}: the movement` });
}

/** The facts, what is looked for first standing first. */
export function factsOf(variant) {
  const rank = (each) => (FIRST_FACTS.includes(each.label) ? FIRST_FACTS.indexOf(each.label) : FIRST_FACTS.length);
  const facts = [...variant.facts].sort((a, b) => rank(a) - rank(b));
  if (!facts.length) return null;
  if (variant.course) return el("p.rest-facts", {}, facts.map((each) => `${each.label} ${each.value}`).join(" · "));
  return [
    el("dl.facts", {}, facts.slice(0, LARGE_FACTS).map((each) => fact(each.label, each.value, each.value.length > LONG_VALUE ? "long" : null))),
    facts.length > LARGE_FACTS ? el("p.rest-facts", {}, facts.slice(LARGE_FACTS).map((each) => `${each.label} ${each.value}`).join(" · ")) : null,
  ];
}

/** @param {object} court @param {object} item of the package @returns {HTMLElement[]} */
export function exerciseScreen(court, item) {
  const name = court.state.variantOf(item.exercise);
  const variant = item.variants[name];
  const later = court.laterOf(item);
  const first = court.firstOf(item);
  return [
    head(variant.title, placeWords(court, item)),
    damagedBand(court, variant),
    ...variant.notices.filter((each) => each.level === "stop").map(told),
    todayNotice(court, variant),
    later ? told(later) : null,
    later?.offer === "easier" && name === "easier"
      ? el("div.choices", {}, press("As planned all the same", () => court.say("swapped", { exercise: item.exercise, to: "planned" })))
      : null,
    first?.next === "rest" ? told({ level: "note", what: first.words || "as the first set", do: `Now ${restWords(first)}, as the first` }) : null,
    el("div.work", {},
      el("p.dose", {}, el("strong", {}, variant.dose_large), " ", el("span.dose-small", {}, plainDose(variant)), variant.change ? el("span.dose-change", {}, `Different: ${variant.change}`) : null),
      variant.course ? courseFacts(variant.course) : null,
      el("div.laid", {}, factsOf(variant)),
      cautionsFolded(court, item, variant),
      drawingOf(court, item, name),
      el("div.how", {},
        el("p.cue", {}, variant.cue),
        variant.watch_for.length ? el("p.watch", {}, el("span.label", {}, "Watch for"), ` ${variant.watch_for.join(" · ")}`) : null,
        variant.course ? courseTapes(variant.course) : null)),
    toFoot(
      donePress(court, item),
      press("Timer", () => court.show("timer", item), { small: court.timer.isOf(item.exercise) ? "goes on" : "" }),
      press("Pain", () => court.show("pain", { item })),
      first?.next === "rest" ? press("Leave it at that", () => court.say("done", court.doneValues(item, first.sets))) : null,
      press("Other …", () => court.show("other", item))),
  ];
}

/** What the answers before the start ask of this exercise. */
function todayNotice(court, variant) {
  const { ceiling } = court.state;
  const usual = court.pack.effort_ceiling?.effort_6_20 ?? null;
  const asked = [variant.one_set_less ? "one set less" : "", ceiling !== null && ceiling !== usual ? `nothing above effort ${ceiling}` : ""].filter(Boolean);
  return asked.length ? told({ level: "caution", what: `today ${asked.join(", ")}`, do: "" }) : null;
}

/** The main press of an exercise. */
export function donePress(court, item) {
  const variant = court.state.variantOf(item.exercise);
  return press(doneAs(court.firstOf(item), item.variants[variant], variant), () => court.done(item), { look: "main" });
}

function doneAs(first, variant, name) {
  if (first?.next === "rest") return `${upper(restWords(first))} done, no pain`;
  if (first) return "One set done, no pain";
  if (variant.one_set_less) return "One set less, no pain";
  return name === "planned" ? "As planned, no pain" : "As shown, no pain";
}

function restWords({ sets, of }) {
  return of - sets === 1 ? `set ${of} of ${of}` : `sets ${sets + 1} to ${of}`;
}

/** What else can be said of an exercise. */
export function otherScreen(court, item) {
  const name = court.state.variantOf(item.exercise);
  const words = { easier: "Too hard: the easier one", harder: "Too easy: the harder one", planned: "Back to what was planned" };
  return [
    head(`“${item.variants[name].title}”`, "What else is there to say?"),
    el("div.choices.choices-tall", {},
      press("Not as planned", () => court.show("different", item), { small: "fewer or more, how hard, what was not clean" }),
      ["easier", "harder", "planned"]
        .filter((each) => each !== name && item.variants[each] && mayTake(court, item, each))
        .map((to) => press(words[to], () => court.say("swapped", { exercise: item.exercise, to }), { small: item.variants[to].change ?? "" })),
      press("Leave it out", () => court.show("leave", item)),
      press("No time: end the session", () => court.leaveOutRest("no time"), { small: "what is left is kept as left out" })),
    toFoot(null, press("Back", () => court.draw())),
  ];
}

// Where leaving out is proposed, only an easier one that spares the arm may be taken.
function mayTake(court, item, which) {
  return court.laterOf(item)?.offer !== "leave out" || (which === "easier" && court.sparesArm(item));
}

/** Why an exercise is left out. */
export function leaveScreen(court, item) {
  const leave = (reason) => (reason === "pain" ? court.show("pain", { item, leaving: true }) : court.say("skipped", { exercise: item.exercise, reason }));
  return [
    head(`Leave out “${item.variants.planned.title}”: why?`),
    el("div.choices.choices-tall", {}, SKIP_REASONS.filter((reason) => !BY_ITSELF.includes(reason)).map((reason) => press(upper(reason), () => leave(reason)))),
    toFoot(null, press("Back, do it", () => court.draw())),
  ];
}
