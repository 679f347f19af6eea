// A camera's card: every picture sent on a line of its own, then sorted; pictures dragged between groups; what is typed
// is kept as one goes. Every button works without script as well.
import { ask, Lost } from "../../common/fetch.js";
import { PATIENCE_S, sendPicture } from "../../common/photos/send.js";
import { keepPictures, keptPictures } from "../../common/photos/waiting.js";
import { onMoveItem } from "../../common/pointer.js";
import { UnsentForm } from "../../common/unsent/form.js";
import { here } from "../../common/unsent/note.js";
import { forget } from "../../common/unsent/store.js";
import { textOf } from "../../common/unsent/words.js";

const AT_ONCE = 2;
const SAVE_AFTER_MS = 900;

const adding = document.querySelector("[data-card-send]");
if (adding) send(adding);
sortBy(document.getElementById("main"));

function send(form) {
  const input = form.querySelector("input[type=file]");
  const drop = form.querySelector("[data-drop]");
  const list = form.querySelector("[data-rows]");
  const told = form.querySelector("[data-told]");
  const bar = form.querySelector("[data-sending]");
  const waits = form.querySelector("[data-waits]");
  const waiting = [];
  const unsent = new Set(); // all that are neither with the catalogue nor refused by it
  const counts = { all: 0, there: 0, new: 0, failed: 0 };
  let keeping = Promise.resolve();
  let sending = 0;
  let retrying = 0; // lost ones that are tried again by themselves

  form.classList.add("live");
  input.addEventListener("change", chosen);
  for (const name of ["dragover", "dragleave", "drop"])
    drop.addEventListener(name, (event) => {
      event.preventDefault();
      drop.classList.toggle("over", name === "dragover");
      if (name === "drop") take(event.dataTransfer.files);
    });
  addEventListener("online", () => list.querySelectorAll("[data-again]").forEach((button) => button.click()));
  addEventListener("beforeunload", (event) => {
    if ([...unsent].some(({ record }) => !record)) event.preventDefault();
  });

  chosen(); // a quick hand has chosen before this script was here
  // What an earlier page of this card kept and did not send goes on.
  keptPictures(form.dataset.arrive).then((items) => {
    if (items.length) form.closest("details").open = true;
    begin(items);
  });

  function chosen() {
    if (!input.files.length) return;
    take(input.files);
    input.value = "";
  }

  function take(files) {
    const byName = [...files].sort((a, b) => a.name.localeCompare(b.name, undefined, { numeric: true }));
    const items = byName.map((file) => ({ file, tries: 0 }));
    begin(items);
    keeping = keeping.then(() => keepPictures(items, form.dataset.arrive)).then(show);
  }

  function begin(items) {
    for (const item of items) unsent.add(item);
    waiting.push(...items);
    counts.all += items.length;
    next();
  }

  function done(item) {
    item.done = true;
    unsent.delete(item);
    if (item.record) forget(item.record);
  }

  function next() {
    show();
    while (sending < AT_ONCE && waiting.length) {
      sending += 1;
      one(waiting.shift()).finally(() => {
        sending -= 1;
        next();
      });
    }
    // Refused ones, and those given up, stand on the list; the rest need not wait for them.
    if (!sending && !waiting.length && !retrying && counts.new) {
      counts.new = 0;
      if (!list.children.length) form.closest("details").open = false;
      document.querySelector("#card [data-sort]")?.click();
    }
  }

  async function one(item) {
    const row = item.row ?? newRow(item);
    try {
      const answer = await sendPicture(item.file, {
        address: form.dataset.arrive,
        progress: (part) => (row.querySelector("progress").value = part),
      });
      counts.there += 1;
      counts.new += answer.there ? 0 : 1;
      row.remove();
      done(item);
    } catch (error) {
      failed(item, row, error);
    }
  }

  function newRow(item) {
    const row = document.createElement("li");
    const name = Object.assign(document.createElement("span"), { className: "name", textContent: item.file.name });
    const progress = Object.assign(document.createElement("progress"), { max: 1, value: 0 });
    progress.setAttribute("aria-label", item.file.name);
    const why = Object.assign(document.createElement("span"), { className: "why" });
    row.append(name, progress, why);
    list.append(row);
    item.row = row;
    return row;
  }

  function failed(item, row, error) {
    row.querySelector(".why").textContent = error.message;
    row.querySelector("progress")?.remove();
    if (!(error instanceof Lost)) {
      counts.failed += 1;
      done(item);
      return;
    }
    const button = Object.assign(document.createElement("button"), { type: "button", className: "btn q", textContent: "Try again" });
    button.dataset.again = "";
    const patient = item.tries < PATIENCE_S.length ? 1 : 0;
    const wait = PATIENCE_S[Math.min(item.tries, PATIENCE_S.length - 1)];
    const timer = setTimeout(() => button.click(), wait * 1000);
    retrying += patient;
    row.querySelector(".why").textContent += ` It is tried again in ${wait} seconds.`;
    item.tries += 1;
    button.addEventListener("click", () => {
      clearTimeout(timer);
      retrying -= patient;
      row.remove();
      item.row = null;
      waiting.push(item);
      next();
    });
    row.append(button);
    item.lost = true;
    show();
  }

  function show() {
    bar.hidden = !counts.all;
    const words = `${counts.there} of ${counts.all} here${counts.failed ? `, ${counts.failed} refused` : ""}`;
    bar.querySelector("[data-progress-words]").textContent = words;
    const lost = [...unsent].some(({ lost }) => lost);
    const many = unsent.size === 1 ? "1 picture waits" : `${unsent.size} pictures wait`;
    const close = [...unsent].every(({ record }) => record) ? ", also if this page is closed meanwhile" : "";
    const kept = lost ? `${many} ${here()} and ${unsent.size === 1 ? "goes" : "go"} on by ${unsent.size === 1 ? "itself" : "themselves"} as soon as the catalogue can be reached and a page of it is open${close}.` : "";
    if (waits.textContent !== kept) waits.textContent = kept;
    waits.hidden = !lost;
    bar.querySelector("progress").value = (counts.there + counts.failed) / (counts.all || 1);
    if (!sending && !waiting.length && counts.all) told.textContent = words;
  }
}

function sortBy(main) {
  main.classList.add("live");
  let timer = null;
  let sentText = "";
  let asked = 0; // when the answer that is shown, or on its way, was asked for
  const stored = new Map(); // box -> { value, at }: what this page had kept, and when it heard so
  let typed = null; // what stands beside the groups, kept in this browser until the catalogue has it
  keepTyped();

  function keepTyped() {
    const form = document.getElementById("card");
    if (typed?.form === form) return;
    typed = new UnsentForm(form, { saves: false });
    form.addEventListener("draft-restored", keep);
  }
  main.addEventListener("htmx:beforeSwap", ({ detail }) => detail.target.id === "card" && detail.shouldSwap && typed.saved());
  const ticks = () => main.querySelectorAll("#card input[name=tick]:checked");

  main.addEventListener("change", (event) => {
    if (event.target.name === "tick") return count(event.target);
    // A tag may be that of a find on record, so the page is asked again; other words are only kept.
    if (event.target.name.startsWith("what-")) keep();
    // A box that Enter has sent already tells of its change once more when its group is replaced.
    else if (event.target.closest(".card-fields") && shownText() !== sentText) keepAndShow();
  });
  main.addEventListener("input", (event) => {
    if (event.target.name.startsWith("what-")) keepSoon();
  });
  main.addEventListener("keydown", (event) => {
    // Enter in a box keeps what is typed; it must not press whichever button stands first.
    if (event.key !== "Enter" || event.target.tagName !== "INPUT" || !event.target.closest("#card")) return;
    event.preventDefault();
    if (event.target.name === "begin-tag") main.querySelector("#card [value=begin]").click();
    else keepAndShow();
  });

  function setStored(name, value) {
    const box = main.querySelector(`#card [name="${CSS.escape(name)}"]`);
    if (box) box.value = value;
  }

  const shownText = () =>
    JSON.stringify([...new FormData(document.getElementById("card"))].filter(([name]) => !/^(was-|tick$|csrf)/.test(name)));

  function keepAndShow() {
    clearTimeout(timer);
    timer = null;
    sentText = shownText();
    main.querySelector("#card [data-save]").click();
  }

  // An answer may have been drawn before a box was kept that was sent after it: what is stored is what was kept last.
  main.addEventListener("htmx:beforeRequest", () => (asked = performance.now()));
  main.addEventListener("htmx:afterSettle", () => {
    for (const [name, { value, at }] of stored) if (at > asked) setStored(name, value);
    keepTyped();
    count();
  });

  function count(box) {
    const all = ticks().length;
    const foot = main.querySelector("[data-ticked]");
    if (!foot) return;
    foot.querySelector("[data-ticked-count]").textContent = all
      ? `With the ${all === 1 ? "ticked picture" : `${all} ticked pictures`}`
      : "With the ticked pictures";
    if (all && box?.checked && !foot.dataset.seen) {
      foot.open = true;
      foot.dataset.seen = "once";
    }
  }

  function keepSoon() {
    clearTimeout(timer);
    timer = setTimeout(keep, SAVE_AFTER_MS);
  }

  // Only sent, not shown again: whoever is typing on must not lose the place.
  function keep() {
    clearTimeout(timer);
    timer = null;
    const form = document.getElementById("card");
    const data = new FormData(form);
    data.set("act", "save");
    // What was sent is what the catalogue has from now on; lost on the way, it has what it had.
    const shown = [...form.querySelectorAll("[name^=was-]")].map((box) => [box, box.value]);
    for (const [box] of shown) box.value = data.get(box.name.slice("was-".length)) ?? box.value;
    const sent = textOf(form);
    typed.stored = new Map(shown.map(([box, value]) => [box.name, value]));
    const asBefore = () => {
      typed.stored = null;
      shown.forEach(([box, value]) => (box.value = value));
    };
    ask(location.pathname, { send: data, leaving: true, headers: { "X-Keep": "yes" } }).then(({ status }) => {
      typed.stored = null;
      if (status === 204) {
        for (const [box] of shown) {
          const value = data.get(box.name.slice("was-".length));
          if (value === null) continue;
          stored.set(box.name, { value, at: performance.now() });
          setStored(box.name, value);
        }
        return typed.form === form && textOf(form) === sent ? typed.saved() : null;
      }
      asBefore();
      // Another page wrote into the same box: the page is shown with what both typed.
      if (status === 409) keepAndShow();
    }, asBefore);
  }
  addEventListener("pagehide", () => timer && keep());

  onMoveItem(main, {
    handle: "#card [data-grip]",
    mouse: "#card [data-drag]",
    item: (grip) => grip.closest("[data-picture]"),
    over(item, below) {
      const group = below.closest("[data-group]");
      for (const other of main.querySelectorAll(".card-group.over")) if (other !== group) other.classList.remove("over");
      if (group && !group.contains(item)) group.classList.add("over");
    },
    end(item, called) {
      const group = main.querySelector(".card-group.over");
      group?.classList.remove("over");
      if (!group || called) return;
      const own = item.querySelector("[name=tick]");
      // A ticked picture takes the other ticked ones along.
      if (!own.checked) for (const box of ticks()) box.checked = false;
      own.checked = true;
      main.querySelector("#card-to").value = group.dataset.group;
      main.querySelector("#card [data-move]").click();
    },
  });
}
