/* One exercise: its drawing, three large facts, what to watch for; one press when it went as planned. */

import { el, fact, head, press, told, upper } from "./dom.js";
import { SKIP_REASONS } from "./entries.js";

const LARGE_FACTS = 3;

/** @param {object} court @param {object} item of the package @returns {HTMLElement[]} */
export function exerciseScreen(court, item) {
  const name = court.state.variantOf(item.exercise);
  const variant = item.variants[name];
  const cautions = variant.notices.filter((each) => each.level !== "note");
  const place = `${item.number} of ${court.pack.items.length} · ${item.part}`;
  const done = (values = {}) => court.say("done", { exercise: item.exercise, as_planned: true, variant: name, ...values });

  return [
    head(variant.title, name === "planned" ? place : `${place} · the ${name} one`),
    // First for keys and switches, last for the eye: over the foot, where a thumb is.
    el("div.main-action", {}, press("As planned, no pain", done, { look: "main" })),
    ...cautions.map(told),
    el("div.work", {},
      el("img.figure", { src: court.figure(item, name), alt: `${variant.title}: the movement`, width: 590, height: 320 }),
      el("div", {},
        el("p.dose", {}, el("strong", {}, variant.dose_large), ` ${variant.side_words} · ${variant.dose_small}`),
        el("dl.facts", {}, variant.facts.slice(0, LARGE_FACTS).map((each) => fact(each.label, each.value))),
        variant.facts.length > LARGE_FACTS
          ? el("p.rest-facts", {}, variant.facts.slice(LARGE_FACTS).map((each) => `${each.label} ${each.value}`).join(" · "))
          : null,
        el("p.cue", {}, variant.cue),
        variant.watch_for.length ? el("p.watch", {}, el("span.label", {}, "Watch for"), ` ${variant.watch_for.join(" · ")}`) : null)),
    el("div.actions", {},
      press(court.timer.isOf(item) ? "Back to the timer" : "Start the timer", () => court.show("timer", item)),
      press("Something was different", () => court.show("different", item)),
      press("Pain", () => court.show("pain", item)),
      ["easier", "harder", "planned"]
        .filter((each) => each !== name && item.variants[each])
        .map((to) =>
          press({ easier: "Too hard: the easier one", harder: "Too easy: the harder one", planned: "Back to what was planned" }[to],
            () => court.say("swapped", { exercise: item.exercise, to }), { small: item.variants[to].change ?? "" })),
      press("Leave it out", () => court.show("leave", item))),
  ];
}

/** Why an exercise is left out. */
export function leaveScreen(court, item) {
  return [
    head(`Leave out “${item.variants.planned.title}”`),
    el("div.actions", {},
      SKIP_REASONS.map((reason) => press(upper(reason), () => court.say("skipped", { exercise: item.exercise, reason }))),
      press("Back, do it", () => court.draw())),
  ];
}

/** What was different: how much was done, how hard it was, what was not clean. */
export function differentScreen(court, item) {
  const name = court.state.variantOf(item.exercise);
  const variant = item.variants[name];
  const sets = variant.steps.filter((each) => each.kind === "set");
  const oneSide = sets.filter((each) => each.side === sets[0]?.side);
  const given = { sets: oneSide.length, repetitions: sets[0]?.repetitions ?? null, effort: null, faults: new Set() };
  const planned = { ...given };
  const rows = el("div");

  const step = (key, words, least, most) =>
    el("div.count", { role: "group", "aria-label": words },
      el("span.label", {}, words),
      press("−", () => ((given[key] = Math.max(least, given[key] - 1)), draw()), { label: `One less, ${words}` }),
      el("output", {}, String(given[key])),
      press("+", () => ((given[key] = Math.min(most, given[key] + 1)), draw()), { label: `One more, ${words}` }));

  function draw() {
    const held = document.activeElement?.getAttribute("aria-label") ?? document.activeElement?.textContent;
    rows.replaceChildren(
      step("sets", "sets done", 0, 20),
      given.repetitions === null ? "" : step("repetitions", "repetitions in the last set", 0, 500),
      el("fieldset", {}, el("legend", {}, "How hard was it, 6 to 20?"),
        el("div.numbers", {}, effortButtons(court.pack, given.effort, (value) => ((given.effort = value), draw())))),
      variant.watch_for.length
        ? el("fieldset", {}, el("legend", {}, "Not clean"),
            el("div.choices", {}, variant.watch_for.map((each) =>
              press(upper(each), () => (given.faults.has(each) ? given.faults.delete(each) : given.faults.add(each), draw()), {
                pressed: given.faults.has(each),
              }))))
        : "");
    if (held) [...rows.querySelectorAll("button")].find((each) => (each.getAttribute("aria-label") ?? each.textContent) === held)?.focus();
  }
  draw();

  const save = async () => {
    const values = { exercise: item.exercise, variant: name, sets: given.sets, faults: [...given.faults] };
    if (given.repetitions !== null) values.repetitions = given.repetitions;
    const asPlanned = given.sets === planned.sets && given.repetitions === planned.repetitions && given.faults.size === 0;
    if (given.effort !== null) await court.say("effort", { exercise: item.exercise, effort_6_20: given.effort });
    await court.say("done", { ...values, as_planned: asPlanned });
  };
  return [
    head(`“${variant.title}”: what was different?`),
    rows,
    el("div.actions", {}, press("Save", save, { look: "main" }), press("Back", () => court.draw())),
  ];
}

/** The fifteen numbers of the scale of effort, each zone's name under its first number. */
export function effortButtons(pack, chosen, work) {
  let zone = "";
  return pack.efforts.map((each) => {
    const small = each.zone === zone ? "" : each.zone;
    zone = each.zone;
    return press(String(each.effort_6_20), () => work(each.effort_6_20), {
      small,
      pressed: chosen === undefined ? undefined : chosen === each.effort_6_20,
      label: `${each.effort_6_20}, ${each.zone}`,
    });
  });
}

/** How hard a part was. */
export function effortScreen(court, part) {
  return [
    head(`How hard was the ${part} part?`, "6 is no effort at all, 20 is all you have"),
    el("div.numbers.efforts", {}, effortButtons(court.pack, undefined, (value) => court.say("effort", { part, effort_6_20: value }))),
    el("div.actions", {}, press("Not asked", () => court.leaveOut(`effort ${part}`))),
  ];
}
