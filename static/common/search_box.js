// The search box as a combobox with a listbox of what was found (WAI-ARIA Authoring Practices): arrows move through it,
// Enter opens, Escape shuts, and the next Escape gives the focus back to where it was. Comes with the first touch of the
// box; without it Enter leads to the page of the search.
const box = document.getElementById("top-search");
const sheet = document.getElementById("search-sheet");
const options = () => [...sheet.querySelectorAll("[role=option]")];
let active = null;

box.setAttribute("role", "combobox");
box.setAttribute("aria-autocomplete", "list");
box.setAttribute("aria-controls", "search-sheet");
show(false);

function show(open) {
  const shown = open && sheet.textContent.trim() !== "";
  sheet.hidden = !shown;
  box.setAttribute("aria-expanded", String(shown && options().length > 0));
  if (!shown) choose(null);
}

function choose(option) {
  active?.removeAttribute("aria-selected");
  active = option;
  if (!option) return box.removeAttribute("aria-activedescendant");
  option.setAttribute("aria-selected", "true");
  box.setAttribute("aria-activedescendant", option.id);
  option.scrollIntoView({ block: "nearest" });
}

function step(by) {
  const all = options();
  const next = all.indexOf(active) + by;
  // Past either end stands the box itself.
  choose(active || by > 0 ? (all[next] ?? null) : (all.at(-1) ?? null));
}

box.addEventListener("keydown", (event) => {
  if (event.isComposing) return;
  if (event.key === "ArrowDown" || event.key === "ArrowUp") {
    event.preventDefault();
    if (sheet.hidden) show(true);
    step(event.key === "ArrowDown" ? 1 : -1);
  } else if (event.key === "Enter" && active) {
    event.preventDefault();
    active.click();
  }
});
// Heard from the links of the sheet as well.
box.form.addEventListener("keydown", (event) => {
  if (event.key !== "Escape" || event.isComposing) return;
  event.preventDefault();
  if (!sheet.hidden) {
    const inside = sheet.contains(document.activeElement);
    // opens again as the box gets the focus
    if (inside) box.focus();
    show(false);
  } else if (box.cameFrom?.isConnected) box.cameFrom.focus();
  else box.blur();
});
sheet.addEventListener("htmx:afterSwap", () => {
  active = null;
  show(box.form.contains(document.activeElement));
});
box.addEventListener("focus", () => show(true));
box.form.addEventListener("focusout", ({ relatedTarget }) => {
  if (relatedTarget && !box.form.contains(relatedTarget)) show(false);
});
document.addEventListener("pointerdown", ({ target }) => {
  if (!box.form.contains(target)) show(false);
});
