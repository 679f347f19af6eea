// The exhibit: turns from piece to piece by button, key, swipe or by itself; the screen stays awake where that may be.
// Each piece: number, what, years in words, town, year, address of its picture, whether it is free to take.
import { arrow, onDrag } from "../../common/pointer.js";

const TURN_EVERY_MS = 8000;
const SWIPE_PX = 45;
const listed = JSON.parse(document.getElementById("exhibit-pieces").textContent);
const screen = document.getElementById("exhibit");
const image = document.getElementById("exhibit-img");
const order = document.getElementById("exhibit-order");
const play = document.getElementById("exhibit-play");
const full = document.getElementById("exhibit-full");
const compare = new Intl.Collator("en").compare;
const orders = {
  shown: () => 0,
  years: (a, b) => (a[4] ?? Infinity) - (b[4] ?? Infinity) || 0,
  town: (a, b) => !a[3] - !b[3] || compare(a[3], b[3]),
};
let pieces = listed;
let at = 0;
let timer = 0;
let awake = null;

/** Where one is stands in the address, so that a tablet that was shut goes on there. */
function rememberPlace() {
  const said = new URLSearchParams({ order: order.value, at: pieces[at][0] });
  history.replaceState(null, "", `#${said}`);
}

function show() {
  const [number, what, made, town, , picture, free] = pieces[at];
  image.classList.add("exhibit-coming");
  image.src = picture;
  image.alt = what;
  const lines = document.getElementById("exhibit-words").children;
  lines[0].textContent = what;
  lines[1].textContent = made;
  lines[2].replaceChildren(
    ...[town, number, free ? "free to take" : ""].filter(Boolean).map((words) => {
      const span = document.createElement("span");
      span.textContent = words;
      return span;
    }),
  );
  document.getElementById("exhibit-place").textContent = `${at + 1} of ${pieces.length}${screen.dataset.part ?? ""}`;
  for (const near of [1, -1]) new Image().src = pieces[(at + near + pieces.length) % pieces.length][5];
  rememberPlace();
}

function turn(by) {
  // Many pieces stand in several parts: past the end of one comes the next.
  const { earlier, later } = screen.dataset;
  const part = at + by < 0 ? earlier : at + by >= pieces.length ? later : "";
  if (part) {
    const said = new URLSearchParams({ order: order.value, from: by < 0 ? "end" : "start", ...(timer ? { turning: "1" } : {}) });
    location.assign(`${part}#${said}`);
    return;
  }
  at = (at + by + pieces.length) % pieces.length;
  show();
  if (timer) startTurning();
}

function arrangeBy(name, number) {
  order.value = orders[name] ? name : "shown";
  pieces = [...listed].sort(orders[order.value]);
  at = Math.max(0, pieces.findIndex((piece) => piece[0] === number));
  show();
}

function startTurning() {
  clearInterval(timer);
  timer = setInterval(() => turn(1), TURN_EVERY_MS);
}

/** A press that stops it is always in reach: the button, and any key or touch that turns by hand goes on from there. */
function playOrPause() {
  const plays = !timer;
  clearInterval(timer);
  timer = 0;
  if (plays) startTurning();
  play.setAttribute("aria-pressed", String(plays));
  play.textContent = plays ? "Stop turning" : "Start turning";
  // What changes by itself every few seconds is not read out.
  document.getElementById("exhibit-words").setAttribute("aria-live", plays ? "off" : "polite");
}

/** A browser lets go of it whenever the page is out of sight. */
async function stayAwake() {
  if (document.visibilityState !== "visible" || (awake && !awake.released)) return;
  try {
    awake = (await navigator.wakeLock?.request("screen")) ?? null;
  } catch {
    awake = null;
  }
}

image.addEventListener("load", () => image.classList.remove("exhibit-coming"));
image.addEventListener("error", () => image.classList.remove("exhibit-coming"));
document.getElementById("exhibit-on").addEventListener("click", () => turn(1));
document.getElementById("exhibit-back").addEventListener("click", () => turn(-1));
order.addEventListener("change", () => arrangeBy(order.value, pieces[at][0]));
play.addEventListener("click", playOrPause);
document.addEventListener("keydown", (event) => {
  if (event.target === order) return;
  const by = arrow(event)?.[0] ?? { PageDown: 1, PageUp: -1 }[event.key];
  if (!by) return;
  event.preventDefault();
  turn(by);
});
onDrag(screen, {
  slack: SWIPE_PX,
  start: (event) => (event.target.closest("button, select, a") ? null : { x: event.clientX, y: event.clientY }),
  move() {},
  end(from, event, { moved, calledOff }) {
    const across = event.clientX - from.x;
    if (moved && !calledOff && Math.abs(across) > Math.abs(event.clientY - from.y)) turn(across < 0 ? 1 : -1);
  },
});
if (document.fullscreenEnabled) {
  full.hidden = false;
  full.addEventListener("click", () =>
    document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen(),
  );
  document.addEventListener("fullscreenchange", () => {
    full.textContent = document.fullscreenElement ? "Show smaller" : "Show full screen";
  });
}
document.addEventListener("visibilitychange", stayAwake);
stayAwake();
const asked = new URLSearchParams(location.search);
const left = new URLSearchParams(location.hash.slice(1));
arrangeBy(left.get("order") ?? asked.get("order") ?? "shown", left.get("at") ?? "");
if (left.get("from") === "end") {
  at = pieces.length - 1;
  show();
}
if (left.has("turning")) playOrPause();
