// The rim through the tapped points, fitted by the catalogue itself, and the handle where the strip begins.
import { Pad, make } from "./plates-pad.js";

const form = document.querySelector("[data-rim]");
const start = form.elements.start;
let ring = [];
let wait = 0, asked = 0;

class RimPad extends Pad {
  under(unit) {
    if (!ring.length) return [];
    const spot = ([x, y]) => `${x.toFixed(2)},${((y * this.tall) / 100).toFixed(2)}`;
    const at = ring[Math.round(Number(start.value) || 0) % 360];
    const middle = ring[360];
    const line = make("polyline", { points: `${spot(middle)} ${spot(at)}`, class: "begin" });
    const handle = make("g", { "data-handle": "", class: "handle" });
    const [cx, cy] = [at[0], (at[1] * this.tall) / 100];
    handle.append(make("circle", { cx, cy, r: 20 * unit, class: "spot-hit" }), make("circle", { cx, cy, r: 9 * unit }));
    return [make("polygon", { points: ring.slice(0, 360).map(spot).join(" "), class: "ring" }), line, handle];
  }
}

const names = ["Rim point 1", "Rim point 2", "Rim point 3", "Rim point 4", "Rim point 5", "The middle"];
const pad = new RimPad(document.querySelector("[data-pad]"), names, fit);

function fit() {
  clearTimeout(wait);
  wait = setTimeout(ask, 120);
}

async function ask() {
  const mine = ++asked;
  if (pad.set().filter((name) => name !== "middle").length < 3) {
    ring = [];
    pad.draw();
    return;
  }
  const answer = await fetch(`${form.dataset.ring}?${new URLSearchParams(new FormData(form))}`).catch(() => null);
  if (mine !== asked || !answer?.ok) return;
  const found = await answer.json();
  ring = found.ring;
  pad.draw();
  if (found.why) pad.say(found.why);
}

// The handle follows the finger to the nearest degree of the ring.
let turning = false;
pad.svg.addEventListener("pointerdown", (event) => {
  if (!event.target.closest("[data-handle]") || event.button) return;
  event.preventDefault();
  turning = true;
  pad.svg.setPointerCapture(event.pointerId);
});
pad.svg.addEventListener("pointermove", (event) => {
  if (!turning) return;
  const [x, y] = pad.at(event);
  const away = ring.slice(0, 360).map(([left, top]) => Math.hypot(left - x, ((top - y) * pad.tall) / 100));
  start.value = away.indexOf(Math.min(...away));
  pad.draw();
});
for (const end of ["pointerup", "pointercancel"]) {
  pad.svg.addEventListener(end, () => {
    if (!turning) return;
    turning = false;
    pad.dragged = true;
    setTimeout(() => (pad.dragged = false));
    pad.say(`The strip begins at ${start.value} degrees.`);
  });
}

start.addEventListener("input", () => pad.draw());
for (const input of Object.values(pad.inputs)) input.addEventListener("input", fit);
document.querySelector("[data-target]").addEventListener("click", (event) => {
  pad.choose(event.target.dataset.target);
  pad.say("Now tap the middle of the base.");
  pad.svg.focus({ preventScroll: true });
});
ask();
