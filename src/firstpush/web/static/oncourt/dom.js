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
  made.append(...inside.flat(3).filter((each) => each !== null && each !== undefined && each !== false));
  return made;
}

/**
 * Make a button. A press counts once, however fast a hand trembles: the button rests until its work is done.
 * @param {string|Node|Array} words
 * @param {() => (void|Promise<void>)} work
 * @param {{look?: "main"|"plain"|"wrong", small?: string, pressed?: boolean, label?: string}} more
 */
export function press(words, work, { look = "plain", small = "", pressed = undefined, label = undefined } = {}) {
  const made = el(
    `button.press.press-${look}`,
    { type: "button", "aria-pressed": pressed === undefined ? null : String(pressed), "aria-label": label },
    el("span", {}, words),
    small ? el("small", {}, small) : null,
  );
  made.addEventListener("click", async () => {
    if (made.getAttribute("aria-disabled") === "true") return;
    made.setAttribute("aria-disabled", "true");
    try {
      await work();
    } finally {
      made.removeAttribute("aria-disabled");
    }
  });
  return made;
}

/** A heading that takes the focus when its screen comes up, so that keys and voice go on from there. */
export function head(words, above = "") {
  return el("h1", { tabindex: "-1", "data-first": true }, above ? el("span.above", {}, above) : null, words);
}

/** One large fact with its label under it. */
export function fact(label, value) {
  return el("div", {}, el("dt", {}, label), el("dd", {}, value));
}

/** A notice as on the sheets: the level in words, what, and what to do. */
export function told({ level, what, do: todo }) {
  const name = { stop: "Stop", caution: "Caution", note: "Note" }[level] ?? level;
  return el(`div.told.told-${level}`, {}, el("p", {}, el("strong", {}, name), ` ${upper(what)}.`), todo ? el("p", {}, `${upper(todo)}.`) : null);
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
