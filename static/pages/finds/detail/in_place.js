// What one tap does to a find (its stage, its standing, undo) is done where it stands: the first words and its care
// are swapped; scroll, focus and what was opened stay. A form with something to type in leaves by itself.
const FILLED_IN = "input:not([type=hidden]), select, textarea";

function take() {
  for (const form of document.querySelectorAll("#find-top form, #care form, #messages form")) {
    if (form.querySelector(FILLED_IN) || form.hasAttribute("hx-post")) continue;
    form.setAttribute("hx-post", form.getAttribute("action"));
    form.setAttribute("hx-target", "#care");
    form.setAttribute("hx-select", "#care");
    form.setAttribute("hx-select-oob", "#find-top,#messages:innerHTML");
    form.setAttribute("hx-swap", "outerHTML show:none");
    window.htmx.process(form);
  }
}

// A fold is known by where it opens, else by its words: their numbers may change.
const nameOf = (fold) => fold.dataset.openAt ?? fold.querySelector("summary").textContent.replace(/\d+/g, "").trim();
const folds = () => [...document.querySelectorAll("#care details")];

const sameButton = ({ action, name, value }) =>
  [...document.querySelectorAll("#find-top form button, #care form button")].find(
    (button) => button.form.getAttribute("action") === action && button.name === name && button.value === value,
  );

let before = null;
document.addEventListener("htmx:beforeRequest", ({ detail: { elt, requestConfig } }) => {
  const button = requestConfig.triggeringEvent?.submitter;
  before = {
    form: elt,
    button: button && { action: elt.getAttribute("action"), name: button.name, value: button.value },
    top: button?.getBoundingClientRect().top,
  };
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
  if (xhr.status !== 422 || !before?.button) return;
  event.detail.isError = false;
  // Nothing was done yet: sent once more, by the browser itself, it shows the question.
  const { name, value } = before.button;
  before.form.append(Object.assign(document.createElement("input"), { type: "hidden", name, value }));
  before.form.submit();
});

document.addEventListener("htmx:afterSwap", ({ detail: { target } }) => {
  if (target.id !== "care") return;
  for (const fold of folds()) if (before.open?.has(nameOf(fold))) fold.open = true;
  const button = before.button && sameButton(before.button);
  if (!button) return;
  button.focus({ preventScroll: true });
  scrollBy({ top: button.getBoundingClientRect().top - before.top, behavior: "instant" });
});
document.addEventListener("htmx:afterSettle", take);
take();
