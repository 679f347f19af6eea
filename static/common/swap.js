// Parts of the page that are swapped in place (htmx): an answer waits until no finger is down and no word is half
// composed in what it replaces; what was typed or tapped since it was asked for is carried over into the new part.
import { SignedOut, signInAddress, standing } from "./fetch.js";
import { whenReleased } from "./pointer.js";

const asked = new WeakMap(); // request -> { fields: field -> its value when the catalogue was asked, press }
const waitsFor = new WeakMap(); // form that is about to be replaced -> the request for it
let composing = null;

document.addEventListener("compositionstart", (event) => (composing = event.target), true);
document.addEventListener("compositionend", () => (composing = null), true);

document.addEventListener("htmx:beforeSend", ({ detail: { xhr, target, elt } }) => {
  asked.set(xhr, { fields: new Map(fieldsOf(target).map((field) => [field, valueOf(field)])), press: null });
  const arrived = xhr.onload;
  xhr.onload = () => {
    const take = () => {
      if (composing && target.contains(composing)) {
        return composing.addEventListener("compositionend", () => setTimeout(() => whenReleased(take)), { once: true });
      }
      // It was called off meanwhile, for a later question.
      if (xhr.readyState === XMLHttpRequest.DONE) arrived.call(xhr);
    };
    whenReleased(take);
  };
  if (elt.tagName === "FORM" && target.contains(elt)) waitsFor.set(elt, xhr);
});

// A second button of a form whose answer is still under way: its form is about to be replaced, and the press with it.
document.addEventListener(
  "submit",
  (event) => {
    const note = asked.get(waitsFor.get(event.target));
    if (!note || !event.submitter) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    // A page that keeps something by itself presses a button nobody sees; what a finger pressed comes first.
    if (!note.press || !event.submitter.ariaHidden) note.press = event.submitter;
  },
  true,
);
document.addEventListener("htmx:afterRequest", ({ detail: { xhr, elt } }) => {
  if (waitsFor.get(elt) === xhr) waitsFor.delete(elt);
  const note = asked.get(xhr);
  if (note?.press && !note.swapped) pressAgain(note);
});
// Only then does the new part hear of presses.
document.addEventListener("htmx:afterSettle", ({ detail: { xhr } }) => pressAgain(asked.get(xhr) ?? {}));

function pressAgain(note) {
  const { press } = note;
  note.press = null;
  if (press) setTimeout(() => sameIn(document, press)?.click());
}

// A form whose words did not get through says so; they still stand in it.
function notKept({ detail: { elt, xhr } }) {
  if (!elt.matches("form[hx-post]")) return;
  const why = xhr.status === 507 ? "The disk of the catalogue is full." : xhr.status ? "The catalogue did not take it." : "The connection was lost.";
  say(elt, `${why} Nothing of this was kept; it still stands here: do it once more.`);
}

// One notice a part, the latest.
function say(part, ...words) {
  part.querySelector("[data-not-kept]")?.remove();
  const said = Object.assign(document.createElement("p"), { className: "message warn" });
  said.setAttribute("role", "alert");
  said.dataset.notKept = "";
  said.append(...words);
  part.prepend(said);
}
document.addEventListener("htmx:sendError", notKept);
document.addEventListener("htmx:responseError", notKept);

// A CSRF token that had gone stale, by a sign-in on another page of this browser: the next question carries one that holds.
// A browser that was signed out says so there, and leaves the page as it stands.
document.addEventListener("htmx:responseError", async ({ detail: { xhr, elt, target } }) => {
  if (xhr.status !== 403) return;
  try {
    await standing();
  } catch (error) {
    if (error instanceof SignedOut) saySignedOut(elt.matches("form") ? elt : target);
  }
});

function saySignedOut(part) {
  // Suggestions for a field are shown by the browser itself, words alone.
  if (part.matches("datalist")) return;
  const way = Object.assign(document.createElement("a"), { href: signInAddress(), target: "_blank", textContent: "Sign in in another window" });
  say(part, "This browser was signed out. ", way, " and do this once more: what you typed still stands here.");
}

// What differs from the value it had when the catalogue was asked was entered since.
document.addEventListener("htmx:beforeSwap", ({ detail: { xhr, target, shouldSwap } }) => {
  const note = asked.get(xhr);
  if (!note || !shouldSwap) return;
  const entered = fieldsOf(target).filter((field) => note.fields.has(field) && note.fields.get(field) !== valueOf(field));
  note.swapped = true;
  note.entered = entered.map((field) => ({ field, value: valueOf(field), focused: field === document.activeElement }));
});
document.addEventListener("htmx:afterSwap", ({ detail: { xhr } }) => {
  const note = asked.get(xhr);
  for (const { field, value, focused } of note?.entered ?? []) {
    const fresh = field.isConnected ? null : sameIn(document, field);
    if (fresh) putBack(fresh, field, value, focused);
  }
  if (note) note.entered = [];
});

const fieldsOf = (part) => [...part.querySelectorAll("input:not([type=hidden], [type=file]), select, textarea")];

const ticked = (field) => field.type === "checkbox" || field.type === "radio";

const valueOf = (field) => (ticked(field) ? field.checked : field.value);

function sameIn(root, old) {
  if (old.id) return root.querySelector(`#${CSS.escape(old.id)}`);
  const named = root.querySelectorAll(`${old.tagName}[name="${CSS.escape(old.name)}"]`);
  const by = ticked(old) || old.tagName === "BUTTON";
  return [...named].find((each) => !by || each.value === old.value) ?? null;
}

function putBack(fresh, old, value, focused) {
  if (ticked(fresh)) fresh.checked = value;
  else fresh.value = value;
  fresh.dispatchEvent(new Event("input", { bubbles: true }));
  if (!focused) return fresh.dispatchEvent(new Event("change", { bubbles: true }));
  fresh.focus({ preventScroll: true });
  if (old.selectionStart != null) fresh.setSelectionRange(old.selectionStart, old.selectionEnd);
  // The browser takes what a script wrote for unchanged: the change is told when the field is left.
  let told = false;
  fresh.addEventListener("change", () => (told = true), { once: true });
  const left = () => told || fresh.dispatchEvent(new Event("change", { bubbles: true }));
  fresh.addEventListener("blur", left, { once: true });
}
