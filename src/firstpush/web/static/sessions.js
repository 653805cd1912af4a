// While a session is made, the page says what is being done. The form itself is sent by the browser, so that nothing
// is lost without this script.

const EVERY_MS = 250;

function tokenOf(form) {
  let field = form.querySelector("input[name=token]");
  if (!field) {
    field = document.createElement("input");
    field.type = "hidden";
    field.name = "token";
    form.append(field);
  }
  // Each sending has a word of its own: two windows of one page do not tell each other's work.
  const letters = crypto.getRandomValues(new Uint8Array(15));
  field.value = Array.from(letters, (each) => (each % 36).toString(36)).join("");
  return field.value;
}

function showStages(panel) {
  const list = panel.querySelector(".stages");
  list.replaceChildren(document.getElementById("stages").content.cloneNode(true));
  panel.hidden = false;
  return [...list.children];
}

function mark(stages, name) {
  const at = stages.findIndex((each) => each.dataset.stage === name);
  if (at < 0) return;
  stages.forEach((each, place) => {
    each.classList.toggle("done", place < at);
    if (place === at) each.setAttribute("aria-current", "step");
    else each.removeAttribute("aria-current");
  });
}

let following = 0;

async function follow(panel, token) {
  const mine = ++following;
  const stages = showStages(panel);
  const address = panel.dataset.address.replace("TOKEN", token);
  mark(stages, "waiting");
  let begun = false;
  while (mine === following) {
    await new Promise((resolve) => setTimeout(resolve, EVERY_MS));
    try {
      const answer = await fetch(address, { headers: { accept: "application/json" } });
      if (!answer.ok) continue;
      const stage = (await answer.json()).stage;
      // What a browser saves as a file brings no new page: when the work has ended, this one goes on.
      if (begun && stage === null) return ended();
      begun ||= stage !== null;
      mark(stages, stage);
    } catch {
      return; // The new page is coming.
    }
  }
}

document.addEventListener("submit", (event) => {
  const panel = document.getElementById("making");
  // What is only written down first makes no session.
  if (!panel || !event.target.matches("form[data-working]") || event.submitter?.name === "first") return;
  follow(panel, tokenOf(event.target));
  for (const button of event.target.querySelectorAll("button[type=submit]")) {
    // After the form is collected, so that nothing of it is missing.
    setTimeout(() => button.setAttribute("disabled", ""), 0);
  }
});

function ended() {
  following += 1;
  const panel = document.getElementById("making");
  if (panel) panel.hidden = true;
  for (const button of document.querySelectorAll("form[data-working] button[disabled]")) button.removeAttribute("disabled");
}

// A page that comes back from the browser's memory is not waiting any more.
addEventListener("pageshow", ended);
