// Keeps what is typed in this browser until the find is saved, so that a closed tab or an empty battery loses nothing.
const LEFT_OUT = new Set(["csrfmiddlewaretoken", "once", "act", "pictures", "pictures-role"]);
const WAIT_MS = 400;

export function keepDraft(form, growTo) {
  const key = `siltmark-draft-${form.dataset.draft}`;
  const kept = form.dataset.kept.split(" ").filter(Boolean);
  const untouched = written(form);
  let timer = 0;
  let stopped = false;

  const found = read(key);
  if (found && kept.includes(found.once)) forget(key); // it was saved; this is the next form
  else if (found && found.text !== untouched && !("tried" in form.dataset)) offer(found);

  const later = () => {
    clearTimeout(timer);
    timer = setTimeout(save, WAIT_MS);
  };
  form.addEventListener("input", later);
  form.addEventListener("change", later);
  form.addEventListener("click", later);
  new MutationObserver(later).observe(form.querySelector("[data-list]"), { childList: true, subtree: true });
  window.addEventListener("pagehide", save);

  function save() {
    clearTimeout(timer);
    const text = written(form);
    if (stopped || text === untouched) return;
    const draft = { text, once: form.elements.once.value, at: Date.now(), names: pictureNames(form) };
    try {
      localStorage.setItem(key, JSON.stringify(draft));
    } catch {
      // no room or not allowed: the form works all the same
    }
  }

  function offer(draft) {
    const box = document.querySelector("[data-draft-offer]");
    const when = new Date(draft.at);
    const today = when.toDateString() === new Date().toDateString();
    const time = when.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
    box.querySelector("[data-draft-time]").textContent = today ? time : `${when.toLocaleDateString()}, ${time}`;
    box.hidden = false;
    // What lies there is not overwritten before it is answered.
    stopped = true;
    box.querySelector("[data-draft-continue]").addEventListener("click", async () => {
      await restore(form, draft, growTo);
      done();
    });
    box.querySelector("[data-draft-discard]").addEventListener("click", () => {
      forget(key);
      done();
    });
    function done() {
      stopped = false;
      box.hidden = true;
      form.elements.what.focus();
      later();
    }
  }
}

// Everything filled in, as text: names and values in the order of the page.
function written(form) {
  const pairs = [];
  for (const [name, value] of new FormData(form)) {
    if (!LEFT_OUT.has(name) && typeof value === "string") pairs.push([name, value]);
  }
  return JSON.stringify(pairs);
}

function pictureNames(form) {
  const names = {};
  for (const row of form.querySelectorAll("[data-list] [data-token]")) {
    names[row.dataset.token] = row.querySelector(".picker-name").textContent;
  }
  return names;
}

async function restore(form, draft, growTo) {
  const values = new Map();
  for (const [name, value] of JSON.parse(draft.text)) values.set(name, [...(values.get(name) ?? []), value]);
  const questions = form.querySelector("#questions[hx-get]");
  if (questions && values.has("made-asked")) {
    await window.htmx.ajax("GET", questions.getAttribute("hx-get"), { target: questions, swap: "outerHTML" });
  }
  for (const [name, value] of values) {
    if (name.endsWith("-TOTAL_FORMS")) growTo(name.slice(0, -"-TOTAL_FORMS".length), Number(value[0]));
  }
  for (const field of form.elements) {
    if (!field.name || LEFT_OUT.has(field.name) || field.name.endsWith("_FORMS")) continue;
    if (field.name === "held" || field.name.startsWith("role-")) continue;
    const wanted = values.get(field.name) ?? [];
    if (field.type === "radio" || field.type === "checkbox") field.checked = wanted.includes(field.value);
    else if (wanted.length) field.value = wanted[0];
  }
  const pictures = (values.get("held") ?? []).map((token) => ({
    token,
    role: values.get(`role-${token}`)?.[0],
    name: draft.names?.[token] ?? "picture",
  }));
  form.querySelector("[data-picker]").dispatchEvent(new CustomEvent("restore-pictures", { detail: pictures }));
  for (const box of form.querySelectorAll("details")) {
    if (box.querySelector("input:checked:not([value='']):not([data-all])") || typed(box)) box.open = true;
  }
  form.dispatchEvent(new CustomEvent("draft-restored"));
  form.dispatchEvent(new Event("change", { bubbles: true })); // the years follow
}

const typed = (box) =>
  [...box.querySelectorAll("input[type=text], input[type=number], textarea")].some((field) => field.value);

function read(key) {
  try {
    return JSON.parse(localStorage.getItem(key));
  } catch {
    return null;
  }
}

function forget(key) {
  try {
    localStorage.removeItem(key);
  } catch {
    // nothing was kept then
  }
}
