// What one tap does to a find (its stage, its standing, undo) is done where it stands: the first words and its care
// are swapped; scroll, focus and what was opened stay. A form with something to type in leaves by itself.
const FILLED_IN = "input:not([type=hidden]), select, textarea";

// A fold is known by where it opens, else by its words: their numbers may change.
const nameOf = (fold) => fold.dataset.openAt ?? fold.querySelector("summary").textContent.replace(/\d+/g, "").trim();
const folds = () => [...document.querySelectorAll("#care details")];

const sameButton = ({ action, name, value }) =>
  [...document.querySelectorAll("#find-top form button, #care form button")].find(
    (button) => button.form.getAttribute("action") === action && button.name === name && button.value === value,
  );

let before = null;
// After unsent/press.js, which keeps a press that finds no network.
document.addEventListener("submit", (event) => {
  const { target: form, submitter } = event;
  if (event.defaultPrevented || form.method !== "post" || form.querySelector(FILLED_IN)) return;
  if (!form.matches("#find-top form, #care form, #messages form")) return;
  event.preventDefault();
  const address = form.getAttribute("action");
  const values = submitter?.name ? { [submitter.name]: submitter.value } : {};
  before = { form, values, top: submitter?.getBoundingClientRect().top };
  before.button = submitter && { action: address, name: submitter.name, value: submitter.value };
  form.setAttribute("hx-select-oob", "#find-top,#messages:innerHTML");
  window.htmx.ajax("POST", address, { source: form, event, values, target: "#care", select: "#care", swap: "outerHTML show:none" });
});

function asWithoutScript() {
  for (const [name, value] of Object.entries(before.values)) {
    before.form.append(Object.assign(document.createElement("input"), { type: "hidden", name, value }));
  }
  before.form.submit();
}
document.addEventListener("htmx:sendError", ({ detail: { elt } }) => {
  if (elt === before?.form) asWithoutScript();
});

// What answers with another page (a reason is asked for, the piece is in the bin) is gone to as without script.
document.addEventListener("htmx:beforeSwap", (event) => {
  const { xhr, target } = event.detail;
  if (target.id !== "care") return;
  if (xhr.status === 200 && new URL(xhr.responseURL).pathname === location.pathname && xhr.responseText.includes('id="care"')) {
    before.open = new Set(folds().filter((fold) => fold.open).map(nameOf));
    return;
  }
  event.detail.shouldSwap = false;
  if (xhr.status === 200) return location.assign(xhr.responseURL);
  if (xhr.status !== 422) return;
  // Nothing was done yet: sent once more, by the browser itself, it shows the question.
  event.detail.isError = false;
  asWithoutScript();
});

document.addEventListener("htmx:afterSwap", ({ detail: { target } }) => {
  if (target.id !== "care") return;
  for (const fold of folds()) if (before.open?.has(nameOf(fold))) fold.open = true;
  const button = before.button && sameButton(before.button);
  if (!button) return;
  button.focus({ preventScroll: true });
  scrollBy({ top: button.getBoundingClientRect().top - before.top, behavior: "instant" });
});
