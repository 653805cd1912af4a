/* An exercise that did not go as planned: how much was done, how hard it was, what was not clean. */

import { el, fill, fillFoot, head, press, told, toFoot, upper } from "./dom.js";
import { effortRows, effortValues } from "./effort.js";
import { ONE_SET_LESS, TOO_HARD } from "./entries.js";
import { tooMuch } from "./later.js";

const MOST_SETS = 20;
const MOST_REPETITIONS = 500;

/** @param {object} court @param {object} item @returns {HTMLElement[]} */
export function differentScreen(court, item) {
  const name = court.state.variantOf(item.exercise);
  const variant = item.variants[name];
  const sets = variant.steps.filter((each) => each.kind === "set");
  const oneSide = sets.filter((each) => each.side === sets[0]?.side);
  const first = court.firstOf(item);
  const planned = { sets: oneSide.length, repetitions: sets[0]?.repetitions ?? null };
  const given = { ...planned, ...(first ? { sets: first.next === "rest" ? first.of : first.sets + 1 } : {}), effort: null, faults: new Set() };
  const rows = el("div");

  const step = (key, words, least, most) =>
    el("div.count", { role: "group", "aria-label": words },
      el("span.label", {}, words),
      press("−", () => ((given[key] = Math.max(least, given[key] - 1)), draw()), { label: `One less, ${words}` }),
      el("output", {}, String(given[key])),
      press("+", () => ((given[key] = Math.min(most, given[key] + 1)), draw()), { label: `One more, ${words}` }));

  const foot = toFoot();
  const notice = () => tooMuch(court.pack, court.state, given.effort);
  const turn = (fault) => (given.faults.has(fault) ? given.faults.delete(fault) : given.faults.add(fault));

  function draw() {
    const nameOf = (each) => each?.getAttribute("aria-label") ?? each?.textContent;
    const held = nameOf(document.activeElement);
    fill(rows,
      step("sets", "sets done", 0, MOST_SETS),
      given.repetitions === null ? null : step("repetitions", "repetitions in the last set", 0, MOST_REPETITIONS),
      el("fieldset", {}, el("legend", {}, court.pack.effort_in_words ? "How hard was it?" : "How hard was it, 6 to 20?"), effortRows(court.pack, given.effort, (value) => ((given.effort = value), draw()))),
      notice() ? told(notice()) : null,
      variant.watch_for.length
        ? el("fieldset", {}, el("legend", {}, "Not clean"),
            el("div.choices", {}, variant.watch_for.map((each) => press(upper(each), () => (turn(each), draw()), { pressed: given.faults.has(each) }))))
        : null);
    drawFoot();
    if (held) [...rows.querySelectorAll("button")].find((each) => nameOf(each) === held)?.focus({ preventScroll: true });
  }

  let effortKept = false;
  async function keepEffort() {
    if (given.effort === null) return true;
    effortKept ||= await court.log("effort", { exercise: item.exercise, ...effortValues(given.effort) });
    return effortKept;
  }

  /* Above what is meant today the easier one, or the end of this exercise, is a press away. */
  function drawFoot() {
    const after = (kind, values) => async () => (await keepEffort()) && court.say(kind, { exercise: item.exercise, ...values });
    fillFoot(foot,
      press("Save", save, { look: "main" }),
      notice() && item.variants.easier && name !== "easier" ? press("The easier one", after("swapped", { to: "easier" })) : null,
      notice() ? press("Stop here", after("skipped", { reason: TOO_HARD })) : null,
      press("Back", () => court.draw()));
  }

  async function save() {
    if (!(await keepEffort())) return;
    const values = { exercise: item.exercise, variant: name, sets: given.sets, faults: [...given.faults] };
    if (given.repetitions !== null) values.repetitions = given.repetitions;
    const asPlanned = given.sets === planned.sets && given.repetitions === planned.repetitions && given.faults.size === 0;
    await court.say("done", { ...values, as_planned: asPlanned && !variant.one_set_less, ...(variant.one_set_less ? { reason: ONE_SET_LESS } : {}) });
  }
  draw();
  return [
    head(`“${variant.title}”`, "Not as planned: how then?"),
    rows,
    foot,
  ];
}
