// The drawing that follows the fields of an exercise: each change is sent, and the drawing that comes back is put in.
// Beside every field with a range stands a slider that says the same; the field takes any number.

const PAUSE_MS = 120;
const form = document.querySelector("form[data-preview]");

if (form) {
  const place = form.querySelector("[data-figure]");
  const told = form.querySelector("[data-told]");
  let waiting = 0;
  let asked = null;

  const say = (words) => {
    if (told.textContent !== words) told.textContent = words;
  };

  const show = async () => {
    asked?.abort();
    const mine = new AbortController();
    asked = mine;
    place.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(form.dataset.preview, { method: "POST", body: new FormData(form), signal: mine.signal });
      const text = await answer.text();
      if (answer.ok) {
        const drawn = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
        say(drawn.querySelector("desc")?.textContent ?? "");
        place.replaceChildren(document.importNode(drawn, true));
      } else if (answer.status === 422) {
        say(`The drawing is of before: ${text}`);
      } else {
        say("The drawing is of before: there was no answer to this change. Save to keep what is typed.");
      }
      place.removeAttribute("aria-busy");
    } catch (error) {
      if (error.name === "AbortError") return;
      place.removeAttribute("aria-busy");
      say("The drawing is of before: there is no connection.");
    }
  };

  const soon = () => {
    clearTimeout(waiting);
    waiting = setTimeout(show, PAUSE_MS);
  };

  for (const field of form.querySelectorAll("input[data-lowest]")) {
    const slider = document.createElement("input");
    slider.type = "range";
    slider.min = field.dataset.lowest;
    slider.max = field.dataset.highest;
    slider.step = field.dataset.step;
    slider.value = field.value.replace(",", ".") || "0";
    slider.setAttribute("aria-label", `${form.querySelector(`label[for="${field.id}"]`).textContent.trim()}, slider`);
    slider.addEventListener("input", () => {
      field.value = slider.value;
      soon();
    });
    field.addEventListener("input", () => {
      slider.value = field.value.replace(",", ".") || "0";
    });
    field.after(slider);
  }

  form.addEventListener("input", (event) => {
    if (event.target.name) soon();
  });
  form.addEventListener("change", (event) => {
    // Another form of a part asks for other fields: the page is made anew.
    if (event.target.matches("[data-asks-anew]")) form.requestSubmit(form.querySelector("[data-show]"));
  });
}
