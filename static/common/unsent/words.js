// A form read out as a record of this browser, and filled in again from one.
const WORDS = "textarea, input:is(:not([type]), [type=text], [type=number], [type=date], [type=time], [type=datetime-local])";
const LEFT_OUT = new Set(["csrfmiddlewaretoken", "held", "pictures", "pictures-role"]);
const OF_THE_PAGE = new Set(["once", "seen", "opened", "act", "tick"]);
// The version that a draft was typed beside comes back with it, so that what was saved since is not undone (optimistic lock).
const NOT_FILLED = new Set([...LEFT_OUT, "once", "act"]);

/** Names and values in the order of the page, files among them; the pictures of a picker are kept apart from them. */
export function wordsOf(form, submitter) {
  return [...new FormData(form, submitter)].filter(
    ([name, value]) => !LEFT_OUT.has(name) && !name.startsWith("role-") && (typeof value === "string" || value.size),
  );
}

/** What was typed, as one text to compare by. */
export function textOf(form) {
  return JSON.stringify(wordsOf(form).filter(([name, value]) => !OF_THE_PAGE.has(name) && typeof value === "string"));
}

/** Whether a form has room for words, which would take long to give once more; never a password's. */
export function takesWords(form) {
  return !form.querySelector("[type=password]") && [...form.elements].some((field) => field.matches(WORDS));
}

/** Tells forms apart that have one address: by what stands hidden in them, that of one page's showing left out. */
export function nameOf(form) {
  const hidden = [...form.querySelectorAll("input[type=hidden]")].filter(
    ({ name }) => !NOT_FILLED.has(name) && !/(^|-)seen$|^opened$|_FORMS$|^was-|^role-|^next$/.test(name),
  );
  return `${form.action} ${JSON.stringify(hidden.map(({ name, value }) => [name, value]))}`;
}

/** What a record is called where there are several: the first thing typed in it. */
export function titleOf(form) {
  const typed = [...form.querySelectorAll("input[type=text], input:not([type]), textarea")];
  return typed.find((field) => field.value.trim() && !field.closest("[hidden]"))?.value.trim().slice(0, 60) ?? "";
}

/**
 * Fills a form in again. `grow(name, count)` makes as many rows of a set as there were; a part that is only fetched when
 * it is wanted is fetched first.
 */
export async function fillIn(form, words, grow = () => {}) {
  const values = new Map();
  for (const [name, value] of words) values.set(name, [...(values.get(name) ?? []), value]);
  const questions = form.querySelector("#questions[hx-get]");
  if (questions && values.has("made-asked")) {
    await window.htmx.ajax("GET", questions.getAttribute("hx-get"), { target: questions, swap: "outerHTML" });
  }
  for (const [name, value] of values) {
    if (name.endsWith("-TOTAL_FORMS")) grow(name.slice(0, -"-TOTAL_FORMS".length), Number(value[0]));
  }
  for (const field of form.elements) {
    if (!field.name || NOT_FILLED.has(field.name)) continue;
    if (field.name.endsWith("_FORMS") || field.name.startsWith("role-")) continue;
    const wanted = values.get(field.name) ?? [];
    if (field.type === "radio" || field.type === "checkbox") field.checked = wanted.includes(field.value);
    else if (field.type === "file") giveBack(field, wanted);
    else if (field.multiple) for (const option of field.options) option.selected = wanted.includes(option.value);
    else if (wanted.length) field.value = wanted.shift();
  }
  for (const box of form.querySelectorAll("details")) {
    if (box.querySelector("input:checked:not([value='']):not([data-all])") || typedIn(box)) box.open = true;
  }
  form.dispatchEvent(new CustomEvent("draft-restored"));
  form.dispatchEvent(new Event("change", { bubbles: true })); // what follows from the words follows again
}

function giveBack(field, files) {
  const given = new DataTransfer();
  for (const file of files) if (file instanceof File) given.items.add(file);
  field.files = given.files;
}

const typedIn = (box) =>
  [...box.querySelectorAll("input[type=text], input[type=number], textarea")].some((field) => field.value);
