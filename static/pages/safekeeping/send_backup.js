// Sends a backup that lies on this machine in parts, and tells how far it has come; then its form goes on as any.
// A part that was lost on the way is sent again; a page that is left takes back what it sent.
import { ask, Lost } from "../../common/fetch.js";

const PATIENCE_S = [1, 2, 4, 8, 16, 30];

const form = document.querySelector("[data-send-backup]");
form?.addEventListener("submit", sendFirst, true);

async function sendFirst(event) {
  const [file] = form.sent.files;
  if (!file) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  if (form.ariaBusy) return;
  form.ariaBusy = "true";
  const calledOff = new AbortController();
  const stop = form.querySelector("[data-stop]");
  stop.onclick = () => calledOff.abort();
  tell(0, "");
  let sent = {};
  const leave = () => sent.drop && ask(sent.drop, { send: new FormData(), leaving: true }).catch(() => {});
  addEventListener("pagehide", leave);
  try {
    sent = await begun(file, calledOff.signal);
    while (!sent.path) sent = { ...sent, ...(await next(file, sent, calledOff.signal)) };
    removeEventListener("pagehide", leave);
    form.file.value = sent.path;
    form.sent.value = "";
    form.removeEventListener("submit", sendFirst, true);
    form.ariaBusy = null;
    form.requestSubmit(form.querySelector("button.btn:not([type=button])"));
  } catch (error) {
    removeEventListener("pagehide", leave);
    leave();
    form.ariaBusy = null;
    tell(null, error.name === "AbortError" ? "Stopped. Nothing of it is kept." : `${error.message} Nothing of it is kept.`);
  }
}

async function begun(file, signal) {
  const send = new FormData();
  send.append("bytes", file.size);
  return answered(await ask(form.dataset.sendBackup, { send, signal }));
}

async function next(file, sent, signal) {
  const send = file.slice(sent.at, sent.at + sent.part);
  const headers = { "Content-Type": "application/octet-stream" };
  for (const seconds of [...PATIENCE_S, 0]) {
    try {
      const now = answered(await ask(`${sent.send}?at=${sent.at}`, { send, headers, signal }));
      tell(now.at / file.size, "");
      return now;
    } catch (error) {
      if (!(error instanceof Lost) || !seconds) throw error;
      tell(sent.at / file.size, "The connection was lost; it is tried again.");
      await new Promise((done) => setTimeout(done, seconds * 1000));
      signal.throwIfAborted();
    }
  }
}

// 409: a part had arrived though its answer was lost; it says where to go on.
function answered({ ok, status, led, data }) {
  if (led) throw new Error("This browser was signed out. Sign in, then send it again.");
  if (ok || (status === 409 && "at" in data)) return data;
  if (data?.error) throw new Error(data.error);
  throw new Lost("The catalogue did not take it.");
}

function tell(part, words) {
  const line = form.querySelector("[data-sending]");
  line.hidden = part === null;
  if (part !== null) {
    line.querySelector("progress").value = part * 100;
    line.querySelector("[data-per-cent]").textContent = Math.floor(part * 100);
  }
  const said = form.querySelector("[data-said]");
  said.textContent = words;
  said.hidden = !words;
}
