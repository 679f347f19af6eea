// Saves a form from its own page: everything is kept in this browser first, sent from there, and the page is left only
// once the catalogue has it. With no connection the page says so and the record waits in the queue.
import { LOST, standing } from "../fetch.js";
import { adoptPictures, clearPictures, picturesOf } from "../photos/picker.js";
import { calledWith, go, here, Note, signIn } from "./note.js";
import { mayWait } from "./press.js";
import { follow, sendAll, unfollow } from "./queue.js";
import { allRecords, forget, newKey, outlivesThePage, pictureOf, putLate, putRecord } from "./store.js";
import { fillIn, nameOf, takesWords, textOf, titleOf, wordsOf } from "./words.js";

const WAIT_MS = 400;

export class UnsentForm {
  // `grow` as in `fillIn`; `shows` tells buttons that only show the form again; with `saves` false its own script sends
  // it and says `saved()`, and only what is typed is kept here.
  constructor(form, { grow, shows = () => false, saves = true } = {}) {
    this.form = form;
    this.grow = grow;
    this.note = new Note(form);
    this.what = form.dataset.what ?? "what you typed";
    this.of = form.dataset.draft ?? nameOf(form);
    this.untouched = textOf(form);
    this.timer = 0;
    this.held = false; // nothing is kept while an older draft waits for an answer
    this.done = false;
    form.addEventListener("submit", (event) => {
      if (!saves || event.defaultPrevented || this.native || shows(event.submitter) || !mayWait(form, event.submitter)) return;
      event.preventDefault();
      this.save(event.submitter);
    });
    addEventListener("pageshow", (event) => event.persisted && this.free());
    this.ready = this.lookForEarlier();
    if (takesWords(form)) this.keepTyped();
  }

  // `stored`: name -> what the catalogue still has of a field while the page's own script is sending another value.
  stored = null;

  get key() {
    return (this.own ??= this.form.elements.once?.value || newKey());
  }

  record(state, submitter) {
    const { form } = this;
    const pictures = picturesOf(form);
    this.files = new Map(pictures.filter(({ file }) => file).map(({ id, file }) => [id, file]));
    return {
      key: this.key,
      once: form.elements.once?.value ?? "",
      of: this.of,
      state,
      at: Date.now(),
      // A button without an address of its own has the page's, not the form's.
      address: submitter?.hasAttribute("formaction") ? submitter.formAction : form.action,
      page: location.pathname + location.search,
      hold: form.querySelector("[data-hold]")?.dataset.hold,
      moment: form.querySelector("[data-moment]")?.name,
      title: titleOf(form),
      words: wordsOf(form, submitter).map(([name, value]) => [name, this.stored?.get(name) ?? value]),
      text: textOf(form),
      firstSent: this.firstSent,
      pictures: pictures.map(({ id, token, role, name }) => ({ id, token, role, name })),
    };
  }

  // What is typed is kept a moment after it was, so that a closed tab or an empty battery loses nothing.
  keepTyped() {
    const { form } = this;
    const later = () => {
      clearTimeout(this.timer);
      this.timer = setTimeout(() => this.keep(), WAIT_MS);
    };
    for (const name of ["input", "change", "click"]) form.addEventListener(name, later);
    addEventListener("pagehide", () => this.keep(putLate));
    sayBeforehand(form);
  }

  // The catalogue has what stands here.
  async saved() {
    clearTimeout(this.timer);
    this.untouched = textOf(this.form);
    await forget({ key: this.key, pictures: [] });
  }

  keep(put = putRecord) {
    clearTimeout(this.timer);
    if (this.held || this.done || this.native || this.form.inert || !this.form.isConnected) return null;
    const record = this.record("typed");
    const same = record.text === this.untouched && !record.pictures.length;
    return same ? null : put(record);
  }

  async save(submitter) {
    const { form, note } = this;
    clearTimeout(this.timer);
    this.submitter = submitter;
    const record = this.record("waiting", submitter);
    this.firstSent ??= record.text;
    record.firstSent = this.firstSent;
    form.inert = true;
    if (submitter) submitter.ariaBusy = "true";
    await putRecord(record);
    follow(record.key, this.files, (state, detail) => this.told(state, detail, record));
    note.clear();
    this.shown = "";
    sendAll();
  }

  async told(state, detail, record) {
    if (state === "there") {
      this.done = true;
      unfollow(record.key);
      // A page that can, shows what it led to where it stands.
      const saved = new CustomEvent("unsent-saved", { bubbles: true, cancelable: true, detail: { address: detail.address, submitter: this.submitter } });
      if (this.form.dispatchEvent(saved)) go(detail.address);
    } else if (state === "sending") {
      const { there, of } = detail;
      if (of && !this.shown) this.note.say([`Saving: ${there} of ${of} ${of === 1 ? "picture" : "pictures"} there.`], [], { show: false });
    } else if (state === "refused") {
      unfollow(record.key);
      this.showAgain(record);
    } else if (state === "saved-before") {
      await this.edit(record);
      this.note.say(savedBefore(this.what), [["Open what was saved", detail.address]], { warn: true });
    } else {
      const words = state === "signed-out" ? this.signedOutWords(record) : await this.lostWords(record, detail.why);
      const acts = [state === "signed-out" ? signIn() : ["Try now", sendAll], ["Go on editing", () => this.edit(record)]];
      const { next } = this.form.dataset;
      if (next) acts.push([next, () => this.another(record)]);
      // Looked at once; it does not pull the page back with each further try.
      this.note.say(words, acts, { warn: true, show: this.shown !== state });
      this.shown = state;
    }
  }

  signedOutWords(record) {
    const called = calledWith(this.what, record.pictures.length);
    return ["Not saved yet: this browser was signed out meanwhile.", `Nothing is lost: ${called} stay ${here()} and are sent once you have signed in again.`];
  }

  async lostWords(record, why) {
    const called = calledWith(this.what, record.pictures.length);
    const stays = await outlivesThePage();
    return [
      why === LOST ? "Not saved yet: the catalogue can’t be reached." : `Not saved yet. ${why}`,
      `Nothing is lost: ${called} ${stays ? `stay ${here()}` : "stay on this page"} and are sent by themselves as soon as ${why === LOST ? "it can be reached" : "there is room"}.`,
      "Leave this page open: once it is closed, it can’t be opened again without the network.",
    ];
  }

  // Something is wrong in it: sent as any form, so that the catalogue shows it with what it has to say.
  async showAgain(record) {
    await putRecord({ ...record, state: "shown" });
    this.free();
    this.native = true;
    this.form.requestSubmit(this.submitter);
  }

  free() {
    if (this.submitter) this.submitter.ariaBusy = null;
    this.form.inert = false;
    this.note.clear();
  }

  async edit(record) {
    unfollow(record.key);
    await putRecord({ ...record, state: "typed" });
    this.free();
  }

  // The form is free for the next one; this one waits in the queue.
  another(record) {
    unfollow(record.key);
    this.own = this.form.elements.once.value = newKey();
    this.firstSent = undefined;
    this.form.reset();
    clearPictures(this.form);
    this.free();
    this.form.scrollIntoView();
  }

  // Records that this form left earlier: shown again with an error, saved meanwhile, or never sent.
  async lookForEarlier() {
    const { form } = this;
    const earlier = [];
    for (const each of (await allRecords()).filter(({ of, state }) => of === this.of && state !== "waiting")) {
      if (await isThere(each)) await forget(each);
      else earlier.push(each);
    }
    const wrong = Boolean(form.querySelector("[aria-invalid=true], .error")) || "tried" in form.dataset;
    for (const each of earlier.filter(({ state }) => state === "shown")) {
      if (wrong) {
        adoptPictures(form, each.pictures);
        await forget({ ...each, pictures: [] });
      } else each.state = "typed";
    }
    const draft = earlier.filter(({ state }) => state !== "shown").at(-1);
    if (draft && !wrong && (draft.state === "refused" || draft.text !== this.untouched || draft.pictures.length)) this.offer(draft);
  }

  offer(draft) {
    this.held = true;
    const when = new Date(draft.at);
    const today = when.toDateString() === new Date().toDateString();
    const time = when.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
    const words = [`You had begun this ${today ? `at ${time}` : `on ${when.toLocaleDateString()} at ${time}`}.`];
    const { seen } = this.form.elements;
    const then = draft.words.find(([name]) => name === "seen")?.[1];
    if (seen && then && seen.value !== then) words.push("The catalogue’s own words were changed since. They stay unless you say otherwise when you save.");
    const answered = () => {
      this.held = false;
      this.note.clear();
      this.form.querySelector("input:not([type=hidden]):not([type=file]), select, textarea")?.focus();
    };
    this.note.say(words, [
      ["Take it up", async () => {
        await this.takeUp(draft);
        answered();
      }],
      ["Throw it away", async () => {
        await forget(draft);
        answered();
      }],
    ], { show: false });
  }

  async takeUp(draft) {
    await fillIn(this.form, draft.words, this.grow);
    const pictures = await Promise.all(draft.pictures.map(async (each) => ({ ...each, file: each.id && (await pictureOf(each.id)) })));
    this.form.querySelector("[data-picker]")?.dispatchEvent(new CustomEvent("restore-pictures", { detail: pictures }));
    await forget({ ...draft, pictures: [] });
    this.firstSent = draft.firstSent;
    // The same record under the same key, so that one which got through after all is not doubled.
    if (draft.once && this.form.elements.once) this.own = this.form.elements.once.value = draft.once;
    this.held = false;
    await this.keep();
  }
}

function sayBeforehand(form) {
  const folded = form.closest("details");
  const place = folded ? form.parentElement : document.querySelector(".foot");
  if (place.querySelector("[data-beforehand]")) return; // said there already
  const line = Object.assign(document.createElement("details"), { className: "quiet no-print" });
  const make = (tag, textContent) => Object.assign(document.createElement(tag), { textContent });
  line.append(
    make("summary", "No network?"),
    make("p", "Save all the same, but leave the page open: it can’t be opened again without the network."),
  );
  line.dataset.beforehand = "";
  // Below everything where the form stands open: what is seen must not move.
  if (folded) form.after(line);
  else place.append(line);
}

const savedBefore = (what) => [
  `The connection broke only after ${what} was saved, as it was then. What you changed since is not in it.`,
  "It still stands here: open what was saved, and change it there.",
];

// Whether it got through after all, its answer lost on the way.
const isThere = (record) =>
  standing(record.once).then(
    ({ kept }) => Boolean(kept) && record.text === (record.firstSent ?? record.text),
    () => false,
  );
