// What every page does with script on: bring the first error into view, and ask before what can't be undone by a tap.
import { openAround } from "./open_around.js";

const focus = document.querySelector("[data-focus]");
if (focus) {
  focus.focus();
  focus.scrollIntoView({ block: "center" });
}

// What an address names by its #, and lies within a part that is shut, is opened.
function openNamed() {
  const part = named(window.location.hash)?.closest("details:not([open])");
  if (!part) return;
  openAround(part);
  part.scrollIntoView();
}
// An escape that can't be read names nothing, and must not end this script.
function named(hash) {
  try {
    return document.getElementById(decodeURIComponent(hash.slice(1)));
  } catch {
    return null;
  }
}
window.addEventListener("hashchange", openNamed);
openNamed();

// The search box: its script comes with the first touch, and "/" leads there unless Settings say otherwise.
const box = document.getElementById("top-search");
box?.addEventListener("focus", ({ relatedTarget }) => {
  // where the box gives the focus back to
  if (!box.form.contains(relatedTarget)) box.cameFrom = relatedTarget;
  import("./search_box.js");
});
document.addEventListener("keydown", (event) => {
  const typing = event.target.closest?.("input, textarea, select, [contenteditable]");
  if (event.key !== "/" || !box || box.dataset.slash === "off" || typing || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  box.focus();
  box.select();
});

// Heard on the way down, before a form that is sent in place hears of it.
document.addEventListener(
  "submit",
  (event) => {
    const question = event.submitter?.dataset.ask;
    if (!question || window.confirm(question)) return;
    event.preventDefault();
    event.stopPropagation();
  },
  true,
);

// What hangs open over the page (More) shuts by Escape and by a touch beside it.
const hanging = () => document.querySelectorAll(".bar-more[open], .top-more[open]");
document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  for (const part of hanging()) {
    part.open = false;
    part.querySelector("summary").focus();
  }
});
document.addEventListener("pointerdown", (event) => {
  for (const part of hanging()) if (!part.contains(event.target)) part.open = false;
});

// A pressed button says that it is busy until the answer comes: another page, or what is swapped in place. A file that
// is handed over leaves the page as it is and tells nobody: then it is free again after a while.
const A_FILE_CAME_MS = 8000;
const busy = new Map(); // request of htmx -> the button that was pressed

window.addEventListener("submit", ({ defaultPrevented, submitter, target }) => {
  if (defaultPrevented || !submitter || target.target) return;
  submitter.ariaBusy = "true";
  setTimeout(() => (submitter.ariaBusy = null), A_FILE_CAME_MS);
});
addEventListener("pageshow", () => {
  for (const button of document.querySelectorAll("[aria-busy=true]")) button.ariaBusy = null;
});
document.addEventListener("htmx:beforeSend", ({ detail: { xhr, requestConfig } }) => {
  const button = requestConfig.triggeringEvent?.submitter;
  if (!button) return;
  button.ariaBusy = "true";
  busy.set(xhr, button);
});
document.addEventListener("htmx:afterRequest", ({ detail: { xhr } }) => {
  const button = busy.get(xhr);
  if (button) button.ariaBusy = null;
  busy.delete(xhr);
});
