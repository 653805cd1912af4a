/* A drill on its course: the plan to scale in place of the movement, and three large facts. */

import { el, fact, press } from "./dom.js";

/** The course of a way to do an exercise; null for what is no drill. */
export function courseOf(item, name) {
  const course = item.variants[name].course ?? null;
  // What is laid as planned has no plan of its own.
  return course && { ...item.variants.planned.course, ...course };
}

/**
 * The plan, and a press for the movement in its place.
 * @param {object} court @param {object} item @param {string} name of the variant
 */
export function courseDrawing(court, item, name) {
  const course = courseOf(item, name);
  const picture = el("img.course-plan", {});
  const turn = press("", () => show(!court.movements.has(item.exercise)));
  const words = turn.querySelector("span");
  function show(movement) {
    court.movements[movement ? "add" : "delete"](item.exercise);
    picture.src = movement ? court.figure(item, name) : court.coursePlan(item, name);
    picture.alt = movement ? `${item.variants[name].title}: the movement` : course.plan_alt;
    words.textContent = movement ? "Show the course" : "Show the movement";
  }
  show(court.movements.has(item.exercise));
  return el("div.course-drawing", {}, picture, turn);
}

/** Spacing, cones and rounds, large; below them between which times a set is done. */
export function courseFacts(course) {
  const facts = [...course.facts, { label: "Time", value: course.time }];
  return el("dl.course-facts", {}, facts.map(({ label, value }) => fact(label, value)));
}

/** How the cones are set out with two tapes, folded up. */
export function courseTapes(course) {
  if (!course.set_out.length) return null;
  return el("details.tapes", {}, el("summary", {}, "Set out with two tapes"), el("ul", {}, course.set_out.map((line) => el("li", {}, line))));
}
