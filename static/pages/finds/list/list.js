// The finds list with script on: what is open stays so when the list is swapped.
const wide = window.matchMedia("(min-width: 60rem)");
const panel = () => document.getElementById("find-panel");

// On a wide page the filters stand in the bar, each opened by itself; on a phone they are a sheet.
function unfold() {
  if (panel()) panel().open = wide.matches;
}

let unfolded = new Map();
let focused = "";
document.addEventListener("htmx:beforeSwap", () => {
  focused = document.activeElement?.closest("#browse") ? document.activeElement.id : "";
  unfolded = new Map([...document.querySelectorAll("#browse details[id]")].map((d) => [d.id, d.open]));
});
document.addEventListener("htmx:afterSettle", () => {
  for (const details of document.querySelectorAll("#browse details[id]")) {
    if (unfolded.has(details.id)) details.open = unfolded.get(details.id);
  }
  if (wide.matches) unfold();
  // what one was at is only now in sight again
  if (focused && document.activeElement === document.body) document.getElementById(focused)?.focus({ preventScroll: true });
});

// What is empty says nothing: it is left out of the address.
document.addEventListener("htmx:configRequest", (event) => {
  const asked = event.detail.formData;
  if (!asked || event.detail.verb !== "get") return;
  for (const key of new Set([...asked.keys()])) {
    const said = asked.getAll(key).filter((value) => value !== "");
    asked.delete(key);
    for (const value of said) asked.append(key, value);
  }
});

// What hangs open shuts by Escape, by a touch beside it, and the sheet by its button: it was followed already.
const hanging = () => [...document.querySelectorAll(".filter-sheet .group[open], .filters[open]")].filter((part) => !wide.matches || part !== panel());
document.addEventListener("keydown", (event) => {
  const [part] = event.key === "Escape" ? hanging() : [];
  if (!part) return;
  part.open = false;
  part.querySelector("summary").focus();
});
document.addEventListener("pointerdown", (event) => {
  if (wide.matches) for (const part of hanging()) if (!part.contains(event.target)) part.open = false;
});
document.addEventListener("click", (event) => {
  if (event.target.closest("[data-filters-done]")) {
    event.preventDefault();
    panel().open = false;
    panel().querySelector("summary").focus();
  }
});

wide.addEventListener("change", unfold);
unfold();
