// The finds list with script on: filters stay unfolded when the list is swapped, ticks are counted.
const wide = window.matchMedia("(min-width: 60rem)");

function unfold() {
  const panel = document.getElementById("find-panel");
  if (panel && wide.matches) panel.open = true;
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
  unfold();
  count();
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

const ticks = () => [...document.querySelectorAll('[data-ticks] input[name="find"]')];

function count() {
  const said = document.querySelector("[data-tick-count]");
  if (!said) return;
  const chosen = ticks().filter((tick) => tick.checked).length;
  said.textContent = chosen ? `${chosen} chosen` : "";
}

document.addEventListener("change", (event) => {
  if (event.target.name === "find") count();
});
document.addEventListener("click", (event) => {
  const all = event.target.closest("[data-tick-all], [data-tick-none]");
  if (!all) return;
  event.preventDefault();
  const boxes = ticks();
  const on = "tickAll" in all.dataset && boxes.some((tick) => !tick.checked);
  for (const tick of boxes) tick.checked = on;
  count();
});

wide.addEventListener("change", unfold);
unfold();
count();
