// Ticks of finds: counted, chosen all at once or from one to another with Shift, kept while one pages and filters.
// They are kept by this tab (sessionStorage) and sent with the bar's form, those of other pages as one list of numbers.
const KEY = "chosen";
const chosen = new Set(kept());
let last = null; // the box that was ticked last, where a range begins

function kept() {
  try {
    return JSON.parse(sessionStorage.getItem(KEY)) ?? [];
  } catch {
    return [];
  }
}

function keep() {
  try {
    sessionStorage.setItem(KEY, JSON.stringify([...chosen]));
  } catch {
    // Without room the ticks of this page still count.
  }
}

/** Nothing is chosen any more. */
export function forget() {
  chosen.clear();
  keep();
}

const bar = () => document.getElementById("many");
const boxes = () => [...document.querySelectorAll('input[name="find"][form="many"]')];
const all = () => bar()?.querySelector("[data-many-choice]")?.checked;

function note(box) {
  if (box.checked) chosen.add(box.value);
  else chosen.delete(box.value);
}

function say() {
  const form = bar();
  if (!form) return;
  const here = boxes();
  const elsewhere = chosen.size - here.filter((box) => box.checked).length;
  const words = elsewhere ? `${chosen.size} chosen, ${elsewhere} on other pages` : `${chosen.size} chosen`;
  form.querySelector("[data-many-count]").textContent = all() ? "" : chosen.size ? words : "";
  form.classList.toggle("some", chosen.size > 0 || Boolean(all()));
  form.querySelector("[data-many-all]").hidden = !here.length || here.every((box) => box.checked);
  form.querySelector("[data-many-none]").hidden = !chosen.size;
}

// The ticks as they were kept; what the page itself ticked is chosen as well.
function show() {
  for (const box of boxes()) {
    if (box.defaultChecked) chosen.add(box.value);
    box.checked = chosen.has(box.value);
  }
  keep();
  say();
}

function set(which, on) {
  for (const box of which) {
    box.checked = on;
    note(box);
  }
  keep();
  say();
}

document.addEventListener("click", (event) => {
  const box = event.target;
  if (box.matches?.('input[name="find"][form="many"]')) {
    const row = boxes();
    const [from, to] = [row.indexOf(last), row.indexOf(box)].sort((a, b) => a - b);
    if (event.shiftKey && from >= 0) set(row.slice(from, to + 1), box.checked);
    last = box;
  }
  if (box.closest?.("[data-many-all]")) set(boxes(), true);
  if (box.closest?.("[data-many-none]")) {
    forget();
    set(boxes(), false);
  }
  const open = document.querySelector(".many-open[open]");
  if (open && !open.contains(box)) open.open = false;
});
document.addEventListener("change", (event) => {
  if (event.target.matches('input[name="find"][form="many"]')) set([event.target], event.target.checked);
  else if (event.target.matches("[data-many-choice]")) say();
});
document.addEventListener("keydown", (event) => {
  const open = event.key === "Escape" && document.querySelector(".many-open[open]");
  if (!open) return;
  open.open = false;
  open.querySelector("summary").focus();
});
document.addEventListener("formdata", (event) => {
  if (event.target.id !== "many") return;
  const here = new Set(boxes().map((box) => box.value));
  event.formData.set("numbers", [...chosen].filter((number) => !here.has(number)).join(" "));
});
document.addEventListener("htmx:afterSettle", show);
window.addEventListener("pageshow", (event) => {
  if (!event.persisted) return;
  // Brought back from memory: an act may have been done meanwhile.
  chosen.clear();
  for (const number of kept()) chosen.add(number);
  for (const box of boxes()) box.checked = chosen.has(box.value);
  say();
});
show();
