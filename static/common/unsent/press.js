// Forms of buttons and ticks alone. Which presses wait for the network and which are not done without it is decided here,
// by one rule, for every form that is sent as a page; what is kept is sent by the queue.
import { LOST, standing } from "../fetch.js";
import { go, here, Note, signIn } from "./note.js";
import { follow, sendAll, unfollow } from "./queue.js";
import { allRecords, deleteAll, forget, newKey, putRecord } from "./store.js";
import { wordsOf } from "./words.js";

const GIVEN =
  "textarea, select, input:is(:not([type]), [type=text], [type=number], [type=date], [type=time], [type=datetime-local], [type=file], [type=password])";

/** Whether a form is more than buttons and ticks; fields that stand elsewhere on the page count as well. */
export const isFilledIn = (form) => [...form.elements].some((field) => field.matches(GIVEN));

const passed = new WeakSet(); // forms whose next submit goes to the catalogue as any
const kept = new WeakMap(); // form -> { key, firstSent, note }

/**
 * The rule: a press is kept and sent late, unless the page asks before it (`data-ask`), or it counts at its moment
 * (`data-at-once`: the catalogue dates it by the clock, shows something in answer, or concerns the door or deleting).
 */
export const mayWait = (form, button) =>
  !button?.dataset.ask && ![form, button].some((part) => part?.closest("[data-at-once]")) && !form.querySelector("[type=password]");

// On the way up, after whatever a form's own script does with it.
document.addEventListener("submit", (event) => {
  const { target: form, submitter } = event;
  if (event.defaultPrevented || form.getAttribute("method")?.toLowerCase() !== "post" || form.hasAttribute("target")) return;
  // With a network the browser sends it as it always did: a press must not wait for a question asked before it.
  if (passed.delete(form) || (navigator.onLine && !("signsOut" in form.dataset))) return;
  event.preventDefault();
  if (form.inert) return;
  if ("signsOut" in form.dataset) signOut(form, submitter);
  else if (!isFilledIn(form) && mayWait(form, submitter)) press(form, submitter);
  else atOnce(form, submitter);
});

// Said where the finger was: a button may stand apart from its form.
function noteOf(form, button) {
  if (!kept.has(form)) kept.set(form, { note: new Note(!button || form.contains(button) ? form : button.parentElement) });
  return kept.get(form).note;
}

// As the browser would send it, once the catalogue has answered: else its own page of an error stood here.
async function atOnce(form, button) {
  form.inert = true;
  try {
    await standing();
    pass(form, button);
  } catch (error) {
    const words = error.message === LOST ? ["There is no connection: nothing was done.", "Press it again once the catalogue can be reached."] : [`Nothing was done. ${error.message}`];
    noteOf(form, button).say(words, error.message === LOST ? [] : [signIn()], { warn: true });
  } finally {
    form.inert = false;
  }
}

function pass(form, button) {
  passed.add(form);
  form.inert = false;
  form.requestSubmit(button?.form === form && !button.disabled ? button : null);
}

async function press(form, button) {
  const note = noteOf(form, button);
  const mine = kept.get(form);
  const label = (button?.textContent ?? "").trim().replace(/\s+/g, " ");
  const words = wordsOf(form, button);
  const text = JSON.stringify(words);
  mine.key ??= form.elements.once?.value || newKey();
  mine.firstSent ??= text;
  const record = {
    key: mine.key,
    once: form.elements.once?.value ?? "",
    of: form.action,
    state: "waiting",
    at: Date.now(),
    address: button?.hasAttribute("formaction") ? button.formAction : form.action,
    page: location.pathname + location.search,
    title: label,
    words,
    text,
    firstSent: mine.firstSent,
    pictures: [],
  };
  form.inert = true;
  let late = false;
  await putRecord(record);
  follow(record.key, new Map(), async (state, { address, why } = {}) => {
    if (state === "sending") return;
    form.inert = false;
    if (state === "there") {
      unfollow(record.key);
      // Whoever has gone on meanwhile is not pulled away.
      if (late) note.say([`“${label}” is saved now.`], [["Look at it", () => go(address)]], { show: false });
      else go(address);
    } else if (state === "refused") {
      unfollow(record.key);
      await forget(record);
      if (late) note.say([`“${label}” was not done: the catalogue has something to say to it. Press it once more.`], [], { warn: true });
      else pass(form, button);
    } else if (state === "saved-before") {
      unfollow(record.key);
      await forget(record);
      note.say([`What you pressed before “${label}” was saved; “${label}” was not done.`], [["Look at it", () => go(address)]], { warn: true });
    } else {
      const out = state === "signed-out";
      const words = out ? "This browser was signed out meanwhile." : why === LOST ? "There is no connection." : why;
      const takeBack = async () => {
        unfollow(record.key);
        await forget(record);
        note.clear();
      };
      const sent = out ? "once you have signed in again" : "by itself as soon as the catalogue can be reached";
      note.say([`${words} “${label}” is kept ${here()} and is sent ${sent}.`], [out ? signIn() : ["Try now", sendAll], ["Take it back", takeBack]], { warn: true, show: !late });
      late = true;
    }
  });
  sendAll();
}

// What a browser keeps is the owner's: signing it out deletes it there, after asking where it is nowhere else yet.
async function signOut(form, button) {
  const waiting = (await allRecords()).filter(({ state }) => state === "waiting" || state === "refused").length;
  const are = waiting === 1 ? "One thing is" : `${waiting} things are`;
  const question = `${are} kept ${here()} and not with the catalogue yet. Signing out deletes ${waiting === 1 ? "it" : "them"}. Sign out all the same?`;
  if (waiting && !window.confirm(question)) return;
  try {
    await standing();
  } catch {
    return atOnce(form, button);
  }
  await deleteAll();
  pass(form, button);
}
