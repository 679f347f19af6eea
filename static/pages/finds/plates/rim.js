// The rim through the tapped points, fitted by the catalogue itself, and the handle where the strip begins.
import { ask } from "../../../common/fetch.js";
import { onDrag } from "../../../common/pointer.js";
import { make } from "../../../common/svg.js";
import { Pad } from "./pad.js";

const form = document.querySelector("[data-rim]");
const start = form.elements.start;
let ring = [];
let wait = 0;
let asked = new AbortController();

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
  wait = setTimeout(askForRing, 120);
}

async function askForRing() {
  // An answer to places that have changed since is of no use.
  asked.abort();
  asked = new AbortController();
  if (pad.set().filter((name) => name !== "middle").length < 3) {
    ring = [];
    pad.draw();
    return;
  }
  const address = `${form.dataset.ring}?${new URLSearchParams(new FormData(form))}`;
  const answer = await ask(address, { signal: asked.signal }).catch(() => null);
  if (!answer?.ok) return;
  const found = answer.data;
  ring = found.ring;
  pad.draw();
  if (found.why) pad.say(found.why);
}

// The handle follows the finger to the nearest degree of the ring.
onDrag(pad.svg, {
  capture: () => pad.svg,
  start(event) {
    const handle = event.target.closest("[data-handle]");
    if (handle) event.preventDefault();
    return handle;
  },
  move(handle, event) {
    const [x, y] = pad.at(event);
    const away = ring.slice(0, 360).map(([left, top]) => Math.hypot(left - x, ((top - y) * pad.tall) / 100));
    start.value = away.indexOf(Math.min(...away));
    pad.draw();
  },
  end: () => pad.say(`The strip begins at ${start.value} degrees.`),
});

start.addEventListener("input", () => pad.draw());
for (const input of Object.values(pad.inputs)) input.addEventListener("input", fit);
document.querySelector("[data-target]").addEventListener("click", (event) => {
  pad.choose(event.target.dataset.target);
  pad.say("Now tap the middle of the base.");
  pad.svg.focus({ preventScroll: true });
});
askForRing();
