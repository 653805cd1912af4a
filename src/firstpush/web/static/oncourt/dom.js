/* Elements made from words and callbacks; nothing here is ever parsed as markup. */

/**
 * Make an element.
 * @param {string} name of the tag, with classes after dots: "p.cue"
 * @param {Object<string, any>} given attributes; functions become listeners ("onclick"), false and null are left out
 * @param {...(Node|string|number|null|Array)} inside
 */
export function el(name, given = {}, ...inside) {
  const [tag, ...classes] = name.split(".");
  const made = document.createElement(tag);
  if (classes.length) made.className = classes.join(" ");
  for (const [key, value] of Object.entries(given)) {
    if (value === false || value === null || value === undefined) continue;
    if (typeof value === "function") made.addEventListener(key.slice(2), value);
    else made.setAttribute(key, value === true ? "" : String(value));
  }
  made.append(...whatIsThere(inside));
  return made;
}

/** Put these into an element in place of what it holds; what is null is nothing, not a word. */
export function fill(box, ...inside) {
  box.replaceChildren(...whatIsThere(inside));
}

function whatIsThere(inside) {
  return inside.flat(3).filter((each) => each !== null && each !== undefined && each !== false);
}

/**
 * Make a button. A press counts once, however fast a hand trembles: the button rests until its work is done.
 * @param {string|Node|Array} words
 * @param {() => (void|Promise<void>)} work
 * @param {{look?: "main"|"plain"|"wrong", small?: string|Node, pressed?: boolean, label?: string}} more
 */
export function press(words, work, { look = "plain", small = "", pressed = undefined, label = undefined } = {}) {
  const made = el(
    `button.press.press-${look}`,
    { type: "button", "aria-pressed": pressed === undefined ? null : String(pressed), "aria-label": label },
    el("span", {}, words),
    typeof small === "string" ? (small ? el("small", {}, " ", small) : null) : small,
  );
  made.addEventListener("click", async () => {
    if (made.getAttribute("aria-disabled") === "true") return;
    made.setAttribute("aria-disabled", "true");
    try {
      await work();
    } finally {
      // One that was put to rest meanwhile wakes by itself.
      if (!made.dataset.resting) made.removeAttribute("aria-disabled");
    }
  });
  return made;
}

/**
 * What is pressed on a screen, for the foot where a thumb is: at most one main press, and a row of others.
 * @param {HTMLElement|null} main
 * @param {...(HTMLElement|null)} others
 */
export function toFoot(main, ...others) {
  const made = el("div.to-foot");
  fillFoot(made, main, ...others);
  return made;
}

/** Put other presses into what stands in the foot. */
export function fillFoot(foot, main, ...others) {
  const row = others.flat().filter(Boolean);
  fill(foot, main ? el("div.main-action", {}, main) : null, row.length ? el("div.foot-row", {}, row) : null);
}

/** A heading that takes the focus when its screen comes up, so that keys and voice go on from there. */
export function head(words, above = "") {
  return el("h1", { tabindex: "-1", "data-first": true }, above ? el("span.above", {}, above) : null, words);
}

/** One large fact with its label under it. */
export function fact(label, value, look = null) {
  return el("div", { class: look }, el("dt", {}, label), el("dd", {}, value));
}

/** A notice: the level in words, what, and what to do. */
export function told({ level, what, do: todo }) {
  return el(`div.told.told-${level}`, {}, el("p", {}, el("strong", {}, levelName(level)), ` ${upper(what)}.`), todo ? el("p", {}, `${upper(todo)}.`) : null);
}

function levelName(level) {
  return { stop: "Stop", caution: "Caution", note: "Note" }[level] ?? level;
}

/** Words with a capital at their beginning. */
export function upper(words) {
  return words ? words[0].toUpperCase() + words.slice(1) : "";
}

/** Minutes and seconds. */
export function clockWords(seconds) {
  const whole = Math.max(0, Math.round(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
