// Pictures of labels on a walk round: sent one after the other, each answer put into the page as it comes. What did not
// arrive can be sent again; stopped, what is being read still counts. Without script the form sends them all at once.
import { Lost, standing, upload } from "../../common/fetch.js";
import { whenReleased } from "../../common/pointer.js";

const form = document.querySelector("[data-read-labels]");
form?.addEventListener("submit", started);

let reading = null; // { files, done, pieces, stopped, call }

function started(event) {
  const files = [...form.elements.pictures.files];
  if (!files.length) return;
  event.preventDefault();
  if (reading) reading.files.push(...files);
  else {
    part("-failed").replaceChildren();
    readAll(files);
  }
  // The same pictures chosen again are a change again; and the next can be taken while these are read.
  form.elements.pictures.value = "";
}

const part = (name) => form.querySelector(`[data-reading${name}]`);

async function readAll(files) {
  reading = { files, done: 0, pieces: 0, failed: 0, stopped: false, call: null };
  const mine = reading;
  part("").hidden = false;
  part("-stop").hidden = false;
  addEventListener("beforeunload", stay);
  while (mine.done < mine.files.length && !mine.stopped) {
    say(mine);
    await readOne(mine, mine.files[mine.done]);
    mine.done += 1;
  }
  removeEventListener("beforeunload", stay);
  part("-stop").hidden = true;
  say(mine, true);
  reading = null;
}

function say({ files, done, pieces, failed, stopped }, over = false) {
  const ticked = `${pieces} ${pieces === 1 ? "label" : "labels"} of pieces`;
  const cut = over && stopped && done < files.length ? "Stopped: " : "";
  part("-said").textContent = `${cut}${done - failed} of ${files.length} read, ${ticked}${over ? "" : " so far"}`;
  const bar = form.querySelector("progress");
  bar.max = files.length;
  bar.value = done;
}

async function readOne(mine, file) {
  const send = new FormData(form);
  send.delete("pictures");
  send.append("pictures", file);
  send.append("one", "yes");
  mine.call = new AbortController();
  mine.sent = false;
  const progress = (far) => {
    mine.sent = far >= 1;
    form.querySelector("progress").value = mine.done + far / 2;
  };
  try {
    let answer = await upload(form.action, send, { progress, signal: mine.call.signal });
    if (answer.status === 403) {
      await standing();
      answer = await upload(form.action, send, { progress, signal: mine.call.signal });
    }
    if (!answer.data) throw new Lost(answer.status === 404 ? "This check was ended or deleted meanwhile." : "The catalogue did not take it.");
    take(mine, file, answer.data);
  } catch (error) {
    mine.failed += 1;
    if (error.name !== "AbortError") note(`${file.name}: ${error.message}`, file);
  }
}

function take(mine, file, { wrong, ended, pieces = 0, said, parts = "" }) {
  mine.pieces += pieces;
  if (ended) mine.stopped = true;
  if (wrong) mine.failed += 1;
  if (wrong) note(wrong, ended ? file : null);
  else if (said.includes(". ") || said.includes(": ")) note(`${file.name}: ${said}`);
  whenReleased(() => swapIn(parts));
}

// Each part takes the place of the one of the same name; what somebody types in just now stays, and is right when sent.
function swapIn(parts) {
  const sheet = document.createElement("template");
  sheet.innerHTML = parts;
  for (const fresh of [...sheet.content.children]) {
    const old = document.getElementById(fresh.id);
    if (!old || old.querySelector("input:focus")) continue;
    const back = old.contains(document.activeElement) && document.activeElement;
    const open = old.tagName === "DETAILS" && old.open;
    old.replaceWith(fresh);
    if (open) fresh.open = true;
    window.htmx?.process(fresh);
    if (back?.name) fresh.querySelector(`[name="${back.name}"][value="${back.value}"]`)?.focus({ preventScroll: true });
  }
}

/** A sentence in the list; with `file`, a button that sends that picture again. */
function note(words, file = null) {
  const row = Object.assign(document.createElement("li"), { className: "line" });
  row.append(Object.assign(document.createElement("p"), { textContent: words }));
  if (file) {
    const again = Object.assign(document.createElement("button"), { type: "button", className: "btn q", textContent: "Send again" });
    again.addEventListener("click", () => {
      row.remove();
      if (reading) reading.files.push(file);
      else readAll([file]);
    });
    row.append(again);
  }
  part("-failed").append(row);
}

form?.querySelector("[data-reading-stop]").addEventListener("click", () => {
  if (!reading) return;
  reading.stopped = true;
  // What has arrived is being read, and its answer is waited for: its pieces are ticked in any case.
  if (!reading.sent) reading.call?.abort();
});

function stay(event) {
  event.preventDefault();
}
