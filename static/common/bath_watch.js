// The watch that every page of the owner keeps on running baths: a bar that can't be overlooked, a sound, and on
// the machine itself the browser's notification. It asks the catalogue, so another device's look-in counts too.
import { ask } from "./fetch.js";
import { hoursAndMinutes } from "./numbers.js";

const EVERY_MS = 30000;
const AGAIN_MS = 20000;
const silenced = "siltmark-bath-silenced";
let baths = [];
let ahead = 0;
let sound = null;
let rang = 0;
const told = new Set();
const named = document.title;

async function askForBaths() {
  const asked = Date.now();
  try {
    const { ok, data: said } = await ask("/workbench/due/");
    if (!ok) return;
    const took = Date.now() - asked;
    // The machine slept, or its clock was changed, between question and answer: the next answer counts.
    if (took < 0 || took > EVERY_MS) return;
    ahead = said.now - Date.now();
    baths = said.baths;
    document.dispatchEvent(new CustomEvent("baths-known", { detail: { ahead, baths } }));
  } catch {
    // The catalogue is closed or out of reach: what is known goes on counting.
  }
  show();
}

const words = (ms) => hoursAndMinutes(Math.max(1, Math.floor(ms / 60000)));

function show() {
  const now = Date.now() + ahead;
  const due = baths.filter((bath) => now >= bath.due);
  const late = due.some((bath) => now >= bath.late);
  const bar = document.querySelector(".bath-bar");
  // The tab says it too, for whoever reads another page.
  const title = due.length ? `${late ? "OVERDUE" : "LOOK IN NOW"} · ${named}` : named;
  if (document.title !== title) document.title = title;
  if (!due.length) {
    bar?.remove();
    return;
  }
  // What is overdue comes before what only wants a look.
  const first = due.find((bath) => now >= bath.late) ?? due[0];
  const what = late ? "Acid bath overdue" : "Acid bath: look in now";
  const act = late ? ": take the pieces out" : "";
  fill(bar ?? newBar(), first, what, due.length > 1 ? `${act} (and ${due.length - 1} more)` : act, late);
  document.querySelector(".bath-bar-time").textContent = `${words(now - (late ? first.late : first.due))} over`;
  if (localStorage.getItem(silenced) !== key(first)) ring(first, what + act, late);
}

function newBar() {
  const bar = document.createElement("div");
  bar.className = "bath-bar no-print";
  const link = document.createElement("a");
  link.append(document.createElement("span"));
  link.firstChild.setAttribute("role", "alert");
  // Beside the alert, not in it: a screen reader would read every minute aloud.
  const time = document.createElement("span");
  time.className = "bath-bar-time";
  const quiet = document.createElement("button");
  quiet.type = "button";
  quiet.textContent = "Stop";
  quiet.append(roomy(" the ringing"));
  bar.append(link, time, quiet);
  document.body.prepend(bar);
  return bar;
}

// What is read out everywhere and stands only where there is room: the bar is one line on a phone too.
function roomy(words) {
  const part = document.createElement("span");
  part.className = "bath-bar-more";
  part.textContent = words;
  return part;
}

function fill(bar, bath, what, rest, late) {
  bar.classList.toggle("late", late);
  if (bar.dataset.text === what + rest + bath.url) return;
  bar.dataset.text = what + rest + bath.url;
  const link = bar.querySelector("a");
  link.href = bath.url;
  link.firstChild.replaceChildren(what, roomy(rest));
  bar.querySelector("button").onclick = () => localStorage.setItem(silenced, key(bath));
}

const key = (bath) => `${bath.url} ${bath.due} ${Date.now() + ahead >= bath.late}`;

function ring(bath, text, late) {
  if (Date.now() - rang < AGAIN_MS) return;
  rang = Date.now();
  beep(late ? 4 : 2);
  if (window.isSecureContext && window.Notification?.permission === "granted" && !told.has(key(bath))) {
    told.add(key(bath));
    notify(bath, text);
  }
}

function notify(bath, text) {
  try {
    const note = new Notification(text, {
      body: `${bath.what}, ${bath.pieces} in it`,
      tag: bath.url,
      requireInteraction: true,
    });
    note.addEventListener("click", () => {
      window.focus();
      location.href = bath.url;
    });
  } catch {
    // A phone's browser has the word but not the thing: bar and sound stay.
  }
}

function beep(times) {
  try {
    sound ??= new AudioContext();
    sound.resume();
    for (let n = 0; n < times; n += 1) {
      const tone = sound.createOscillator();
      const loud = sound.createGain();
      const at = sound.currentTime + n * 0.45;
      tone.frequency.value = n % 2 ? 660 : 880;
      loud.gain.setValueAtTime(0.0001, at);
      loud.gain.exponentialRampToValueAtTime(0.5, at + 0.03);
      loud.gain.exponentialRampToValueAtTime(0.0001, at + 0.35);
      tone.connect(loud).connect(sound.destination);
      tone.start(at);
      tone.stop(at + 0.4);
    }
  } catch {
    // No sound on this machine: the bar stays.
  }
}

// A browser lets a page sound only after it was touched.
document.addEventListener("pointerdown", () => sound?.resume(), { once: true });

for (const box of document.querySelectorAll("[data-alarm]")) {
  box.hidden = false;
  const say = box.querySelector("[data-alarm-say]");
  box.querySelector("[data-sound]").addEventListener("click", () => {
    beep(2);
    say.textContent = "That is how it sounds. It rings while this page is open.";
  });
  const wanted = box.querySelector("[data-notify]");
  if (window.isSecureContext && "Notification" in window) {
    wanted.hidden = Notification.permission !== "default";
    wanted.addEventListener("click", async () => {
      const answer = await Notification.requestPermission();
      wanted.hidden = answer !== "default";
      say.textContent = answer === "granted" ? "A notice will be shown." : "The browser was told not to.";
    });
  } else {
    say.textContent = "Notifications come only on the machine itself: keep this page open.";
  }
}

askForBaths();
setInterval(askForBaths, EVERY_MS);
setInterval(show, 1000);
document.addEventListener("visibilitychange", () => document.hidden || askForBaths());
