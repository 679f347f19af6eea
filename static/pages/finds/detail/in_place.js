// What is done to a find from its page is done where it stands: the parts of the page that may say otherwise then are
// swapped; scroll, focus, what was opened and what was typed elsewhere stay.
const PARTS = ["find-top", "why", "where", "care", "said", "story"];
const INSIDE = [...PARTS, "messages"].map((id) => `#${id}`).join();
const FILLED_IN = "input:not([type=hidden], [type=checkbox], [type=radio]), select, textarea";
const LINE = 56; // px of the anchors that stay in sight at the top

const parts = () => PARTS.map((id) => document.getElementById(id)).filter(Boolean);
const all = (selector) => parts().flatMap((part) => [...part.querySelectorAll(selector)]);

// A fold is known by where it opens, else by its words: their numbers may change.
const nameOf = (fold) => fold.dataset.openAt ?? fold.querySelector("summary").textContent.replace(/\d+/g, "").trim();
const called = (fold) => `${fold.closest(INSIDE).id} ${nameOf(fold)}`;
const foldCalled = (name) => all("details").find((fold) => called(fold) === name);

const buttonLike = ({ action, name, value }) =>
  all("form button").find((button) => button.form.getAttribute("action") === action && button.name === name && button.value === value);

const typedIn = (field) =>
  field.type === "checkbox" || field.type === "radio"
    ? field.checked !== field.defaultChecked
    : field.options
      ? [...field.options].some((option) => option.selected !== option.defaultSelected)
      : field.value !== field.defaultValue;

let before = null;

// `from`: the form or link. Once the words of a form are saved, its fold shuts.
function remember(from, button) {
  const fold = from.closest("details");
  const block = from.closest("#look-next") ?? from.closest("section");
  const top = (element) => element?.getBoundingClientRect().top;
  before = {
    from,
    button: button?.form && { action: button.form.getAttribute("action"), name: button.name, value: button.value },
    buttonTop: top(button),
    fold: fold && called(fold),
    foldTop: top(fold),
    block: block?.id,
    blockTop: top(block),
    filledIn: from.matches("form") && Boolean(from.querySelector(FILLED_IN)),
    typed: all("input:not([type=hidden], [type=file]), select, textarea").filter(
      (field) => field.id && !from.contains(field) && typedIn(field),
    ),
  };
}

function swap(verb, address, from, { event, values } = {}) {
  const target = from.closest("section[id], header[id]")?.id ?? "care";
  // What was asked next stays asked, whatever is done elsewhere.
  const looking = target !== "why" && !from.closest("#messages");
  const others = PARTS.filter((id) => id !== target && (id !== "why" || !looking) && document.getElementById(id));
  from.setAttribute("hx-select-oob", [...others.map((id) => `#${id}`), "#messages:innerHTML"].join());
  window.htmx.ajax(verb, address, { source: from, event, values, target: `#${target}`, select: `#${target}`, swap: "outerHTML show:none" });
}

// After unsent/form.js, which saves what is filled in, and unsent/press.js, which keeps a press that finds no network.
document.addEventListener("submit", (event) => {
  const { target: form, submitter } = event;
  if (event.defaultPrevented || form.method !== "post" || !form.closest(INSIDE)) return;
  event.preventDefault();
  const values = submitter?.name ? { [submitter.name]: submitter.value } : {};
  remember(form, submitter);
  before.values = values;
  swap("POST", form.getAttribute("action"), form, { event, values });
});

document.addEventListener("unsent-saved", (event) => {
  const { address, submitter } = event.detail;
  const { pathname, search } = new URL(address, location.href);
  if (!event.target.closest(INSIDE) || pathname !== location.pathname) return;
  event.preventDefault();
  remember(event.target, submitter);
  before.address = address;
  swap("GET", pathname + search, event.target);
});

document.addEventListener("click", (event) => {
  const link = event.target.closest?.("a[data-in-place]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey || event.button) return;
  event.preventDefault();
  remember(link);
  before.address = link.href;
  swap("GET", link.getAttribute("href").split("#")[0], link);
});

function asWithoutScript() {
  if (before.address) return location.assign(before.address);
  for (const [name, value] of Object.entries(before.values)) {
    before.from.append(Object.assign(document.createElement("input"), { type: "hidden", name, value }));
  }
  before.from.submit();
}
document.addEventListener("htmx:sendError", ({ detail: { elt } }) => {
  if (elt === before?.from) asWithoutScript();
});

// What answers with another page (a reason is asked for, the piece is in the bin) is gone to as without script.
document.addEventListener("htmx:beforeSwap", (event) => {
  const { xhr, requestConfig } = event.detail;
  if (requestConfig.elt !== before?.from) return;
  const ours = new URL(xhr.responseURL).pathname === location.pathname || xhr.status === 422;
  if ([200, 422].includes(xhr.status) && ours && xhr.responseText.includes('id="find-top"')) {
    before.open = new Set(all("details[open]").map(called));
    before.wrong = xhr.status === 422;
    if (before.filledIn && !before.wrong) before.open.delete(before.fold);
    event.detail.shouldSwap = true;
    event.detail.isError = false;
    before.swaps = true;
    return;
  }
  event.detail.shouldSwap = false;
  if (xhr.status === 200) return location.assign(xhr.responseURL);
  if (xhr.status !== 422) return;
  // Nothing was done yet: sent once more, by the browser itself, it shows the question.
  event.detail.isError = false;
  asWithoutScript();
});

document.addEventListener("htmx:afterSwap", () => {
  if (!before?.swaps) return;
  before.swaps = false;
  for (const name of before.open) {
    const fold = foldCalled(name);
    if (fold) fold.open = true;
  }
  for (const field of before.typed) putBack(field);
  settle();
});

function putBack(old) {
  const fresh = old.isConnected ? null : document.getElementById(old.id);
  if (!fresh) return;
  if (old.type === "checkbox" || old.type === "radio") fresh.checked = old.checked;
  else fresh.value = old.value;
}

// The focus goes to what was pressed, else to what stands in its place, which stays where it was on the screen.
function settle() {
  const { button, buttonTop, fold, foldTop, block, blockTop, filledIn, wrong } = before;
  const same = button && !filledIn && buttonLike(button);
  const shut = fold && foldCalled(fold);
  const place = block && document.getElementById(block);
  if (wrong && shut) {
    stay(shut, foldTop);
    (shut.querySelector("[aria-invalid=true]") ?? shut.querySelector("[data-focus]"))?.focus();
  } else if (same) {
    same.focus({ preventScroll: true });
    stay(same, buttonTop);
  } else if (shut) {
    shut.querySelector("summary").focus({ preventScroll: true });
    stay(shut, foldTop);
  } else if (place) {
    place.focus({ preventScroll: true });
    stay(place, blockTop);
    const above = place.getBoundingClientRect().top - LINE;
    if (above < 0) scrollBy({ top: above, behavior: "instant" });
  }
}

const stay = (element, top) => scrollBy({ top: element.getBoundingClientRect().top - top, behavior: "instant" });
