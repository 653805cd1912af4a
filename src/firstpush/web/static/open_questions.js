// The button that stays in sight says how many questions are open below it; without this script it names them.

const said = document.querySelector("[data-open]");

function answered(form, name) {
  return [...form.querySelectorAll(`[name="${name}"]`)].some(
    (each) => (each.checked || each.matches("select")) && each.value !== "",
  );
}

if (said) {
  const form = said.closest("form");
  const names = said.dataset.open.split(" ");
  const tell = () => {
    const open = names.filter((name) => !answered(form, name)).length;
    said.textContent = open === 0 ? "" : `(${open} question${open === 1 ? "" : "s"} open)`;
  };
  form.addEventListener("change", tell);
  tell();
}
