/* After a change of the screen its main press rests for a moment: a second tap of an unsteady hand, meant for the
   screen before, must not say something on this one. The same holds for whatever lies where the finger was last. */

const REST_MS = 1000;
const WEAK_GRIP_REST_MS = 1500;
const NEAR_PX = 40;
// A click comes after the finger went up, on a phone in a task of its own.
const CLICK_MS = 60;
let lastPlace = null;
let isDown = false;
let waiting = [];

/** Remember where a finger was last, and whether it is down. */
export function watchFinger() {
  const lift = () => setTimeout(() => {
    isDown = false;
    const due = waiting;
    waiting = [];
    for (const work of due) work();
  }, CLICK_MS);
  document.addEventListener("pointerdown", (event) => {
    isDown = true;
    lastPlace = { x: event.clientX, y: event.clientY };
  }, true);
  document.addEventListener("pointerup", lift, true);
  document.addEventListener("pointercancel", lift, true);
}

/**
 * Do what changes the screen from outside: now, or when the finger that is down has left it. A button taken away under
 * a finger would say nothing.
 * @param {() => void} work of several that wait, each is done in its order
 */
export function afterFinger(work) {
  if (isDown) waiting.push(work);
  else work();
}

/**
 * Let presses rest; “something is wrong” never does.
 * @param {HTMLElement[]} presses
 * @param {{weakGrip: boolean}} athlete
 */
export function restPresses(presses, { weakGrip }) {
  const forMs = weakGrip ? WEAK_GRIP_REST_MS : REST_MS;
  for (const each of presses) if (each.matches(".press-main") || liesUnderFinger(each)) restOne(each, forMs);
}

function liesUnderFinger(button) {
  if (!lastPlace || button.matches(".press-wrong")) return false;
  const { left, right, top, bottom } = button.getBoundingClientRect();
  return lastPlace.x > left - NEAR_PX && lastPlace.x < right + NEAR_PX && lastPlace.y > top - NEAR_PX && lastPlace.y < bottom + NEAR_PX;
}

function restOne(button, forMs) {
  button.setAttribute("aria-disabled", "true");
  button.dataset.resting = forMs;
  setTimeout(() => {
    delete button.dataset.resting;
    button.removeAttribute("aria-disabled");
  }, forMs);
}
