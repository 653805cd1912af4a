/* The screen of the clock: the steps of the exercise as a line to scale, as on the sheet, and a mark that goes along it. */

import { clockShown } from "./clock.js";
import { courseFacts, courseTapes } from "./course.js";
import { el, fillFoot, head, press, toFoot } from "./dom.js";
import { donePress, drawingOf, factsOf, placeWords } from "./exercise.js";
import { plainDose } from "./plain.js";

/** @param {object} court @param {object} item @returns {HTMLElement[]} */
export function timerScreen(court, item) {
  const { timer } = court;
  const name = court.state.variantOf(item.exercise);
  const variant = item.variants[name];
  timer.start(item.exercise, name);
  const time = el("div.clock-time", { role: "timer", "aria-live": "off" });
  const doing = el("p.doing");
  const words = el("p.step-words");
  const facts = el("div.how", {}, variant.course ? courseTapes(variant.course) : null, factsOf(variant));
  const line = lineOf(timer.schedule);
  const foot = toFoot();
  let drawn = "";

  const drawFoot = () => {
    const over = Boolean(timer.told?.over);
    const rest = [
      over || !timer.running ? null : press("Pause", () => (timer.pause(), tick()), { label: "Pause the clock" }),
      press("Back", () => (timer.back(), tick()), { label: "Back to the start of this step" }),
      press("Pain", () => court.show("pain", { item })),
      press("Card", () => court.draw(), { label: "To the card of the exercise, the clock goes on" }),
    ];
    const next = () => press("Next", () => (timer.ahead(), timer.look(), court.followCues(), tick()), { look: "main", small: nextWords(timer) });
    if (over) fillFoot(foot, donePress(court, item), rest);
    else if (timer.running) fillFoot(foot, next(), rest);
    else fillFoot(foot, press("Go on with the clock", () => (timer.goOn(), tick()), { look: "main" }), rest);
  };

  function tick() {
    const { told } = timer;
    if (!told) return;
    const shown = clockShown(told, variant, timer.about());
    write(doing, shown.doing);
    write(time, told.over ? "" : shown.time || "as long as it takes");
    time.classList.toggle("clock-open", !shown.time);
    write(words, told.span?.waits && !told.over ? told.words : "");
    facts.hidden = !told.span?.waits || told.over;
    line.mark.style.left = `${(100 * timer.held.clock.elapsedMs) / (timer.schedule.totalMs || 1)}%`;
    // The main press says something else now: it rests as after any change.
    const now = `${told.over} ${timer.running} ${told.span?.index}`;
    if (now === drawn) return;
    const isFirst = drawn === "";
    const held = foot.contains(document.activeElement);
    drawn = now;
    drawFoot();
    if (isFirst) return;
    court.rest(foot);
    if (held) foot.querySelector("button")?.focus({ preventScroll: true });
  }
  court.eachTick(tick);

  return [
    head(variant.title, placeWords(court, item)),
    el("div.work.work-clock", {},
      el("div.clock", {},
        el("p.dose", {}, el("strong", {}, variant.dose_large), " ", el("span.dose-small", {}, plainDose(variant))),
        doing, time),
      drawingOf(court, item, name),
      line.box,
      words,
      facts),
    foot,
  ];
}

function write(element, words) {
  if (element.textContent !== words) element.textContent = words;
}

function nextWords({ told, schedule }) {
  const next = schedule.spans[told.span.index + 1];
  if (!next) return "to the end";
  return { set: "to the set", pause: "to the pause", "change sides": "change sides" }[next.kind] ?? next.kind;
}

/* Each step as wide as it takes, with a stroke where a repetition or a round begins. */
function lineOf({ spans, totalMs }) {
  const mark = el("b.line-mark");
  const steps = spans.map((span) => {
    const begins = span.phases.filter((each, index) => index && (each.round || each.repetition !== span.phases[index - 1].repetition));
    const strokes = begins.map((each) => placed(el("s"), (each.startMs - span.startMs) / (span.endMs - span.startMs)));
    const made = el(`i.line-${span.waits ? "set-up" : span.kind}`, {}, strokes);
    made.style.flexGrow = String((span.endMs - span.startMs) / (totalMs || 1));
    return made;
  });
  return { mark, box: el("div.line", { "aria-hidden": "true" }, steps, mark) };
}

function placed(element, share) {
  element.style.left = `${100 * share}%`;
  return element;
}
