// Places tapped on a picture: by finger, mouse or keyboard. The inputs they stand in are what is sent.
import { between } from "../../../common/numbers.js";
import { arrow, holdStill, onDrag, onTap } from "../../../common/pointer.js";
import { make, placeIn } from "../../../common/svg.js";
import { live } from "./live.js";

const FINE = 0.1, COARSE = 1, ZOOM = 3;

export class Pad {
  // `changed()` is called after every change; `names[n]` is how field n is called aloud.
  constructor(root, names, changed) {
    this.root = root;
    this.fields = root.dataset.fields.split(" ");
    this.inputs = Object.fromEntries(this.fields.map((name) => [name, document.getElementsByName(name)[0]]));
    this.names = names;
    this.changed = changed;
    this.svg = root.querySelector("[data-marks]");
    this.layer = root.querySelector("[data-layer]");
    this.picture = root.querySelector("img");
    this.loupe = root.querySelector("[data-loupe]");
    this.told = root.parentElement.querySelector("[data-told]");
    this.tall = this.svg.viewBox.baseVal.height;
    this.target = null;
    this.active = this.set().at(-1) ?? null;
    root.classList.add("live");
    this.svg.tabIndex = 0;
    this.svg.setAttribute("role", "application");
    holdStill(this.svg, (event) => event.target.closest?.("[data-spot], [data-handle]"));
    onDrag(this.svg, {
      capture: () => this.svg,
      start: (event) => this.press(event),
      move: (name, event) => this.pull(name, event),
      end: () => this.release(),
    });
    onTap(this.svg, (event) => this.tap(event));
    this.svg.addEventListener("keydown", (event) => this.key(event));
    for (const input of Object.values(this.inputs)) input.addEventListener("input", () => this.draw());
    document.querySelector("[data-undo]")?.addEventListener("click", () => this.undo());
    document.querySelector("[data-clear]")?.addEventListener("click", () => this.clear());
    new ResizeObserver(() => this.draw()).observe(this.svg);
    live();
    // The numbers are for those who can't tap, and for putting a wrong one right.
    const typed = document.querySelector("[data-typed]:not([data-wrong])");
    if (typed) typed.open = false;
  }

  place(name) {
    const found = this.inputs[name].value.match(/^\s*(\d+(?:\.\d+)?)\s*[,; ]\s*(\d+(?:\.\d+)?)\s*$/);
    return found ? [Number(found[1]), Number(found[2])] : null;
  }

  set() {
    return this.fields.filter((name) => this.place(name));
  }

  // The field that the next tap fills.
  next() {
    return this.target ?? this.fields.find((name) => !this.place(name)) ?? null;
  }

  at(event) {
    const point = placeIn(this.svg, event);
    return [point.x, (100 * point.y) / this.tall];
  }

  put(name, [x, y]) {
    const inside = (value) => between(value, 0, 100).toFixed(2);
    this.inputs[name].value = `${inside(x)}, ${inside(y)}`;
    this.active = name;
    this.target = null;
    this.draw();
    const [left, top] = this.place(name);
    this.say(`${this.called(name)}: ${left.toFixed(1)} from the left, ${top.toFixed(1)} from the top.`);
    this.changed();
  }

  called(name) {
    return this.names[this.fields.indexOf(name)];
  }

  say(words) {
    this.told.textContent = words;
  }

  press(event) {
    const name = event.target.closest?.("[data-spot]")?.dataset.spot;
    if (!name) return null;
    event.preventDefault();
    this.svg.focus({ preventScroll: true });
    this.active = name;
    this.magnify(this.place(name));
    return name;
  }

  pull(name, event) {
    this.put(name, this.at(event));
    this.magnify(this.place(name));
  }

  release() {
    this.loupe.hidden = true;
    this.draw();
  }

  tap(event) {
    if (event.target.closest("[data-spot], [data-handle]")) return;
    const name = this.next();
    if (name) this.put(name, this.at(event));
    else this.say("Every point is set: drag one, or take one back.");
  }

  key(event) {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const digit = this.fields[Number(event.key) - 1];
    if (arrow(event) && this.active && this.place(this.active)) {
      const [across, down] = arrow(event);
      const step = event.shiftKey ? COARSE : FINE;
      const [x, y] = this.place(this.active);
      this.put(this.active, [x + across * step, y + (down * step * 100) / this.tall]);
    } else if (event.key === "Enter" || event.key === " ") {
      const name = this.next();
      if (name) this.put(name, this.active && this.place(this.active) ? this.place(this.active) : [50, 50]);
    } else if (event.key === "Delete" || event.key === "Backspace") {
      this.undo();
    } else if (event.key.toLowerCase() === "m" && this.inputs.middle) {
      this.choose("middle");
    } else if (digit && this.place(digit)) {
      this.choose(digit);
    } else return;
    event.preventDefault();
  }

  // The one that arrows move; where it isn't set yet, the one that comes next.
  choose(name) {
    if (this.place(name)) this.active = name;
    else this.target = name;
    this.draw();
    this.say(`${this.called(name)} is chosen.`);
  }

  undo() {
    const last = this.active && this.place(this.active) ? this.active : this.set().at(-1);
    if (!last) return;
    this.inputs[last].value = "";
    this.active = this.set().at(-1) ?? null;
    this.draw();
    this.say(`${this.called(last)} is taken back.`);
    this.changed();
  }

  clear() {
    for (const input of Object.values(this.inputs)) input.value = "";
    this.active = this.target = null;
    this.draw();
    this.say("All points are taken back.");
    this.changed();
  }

  draw() {
    const unit = 100 / (this.svg.clientWidth || 400);
    this.layer.replaceChildren(...this.under(unit), ...this.set().map((name) => this.spot(name, unit)));
  }

  // What lies below the points; others draw more.
  under() {
    return [];
  }

  spot(name, unit) {
    const [x, y] = this.place(name);
    const group = make("g", { "data-spot": name, class: name === this.active ? "spot active" : "spot" });
    const [cx, cy] = [x, (y * this.tall) / 100];
    group.append(make("circle", { cx, cy, r: 20 * unit, class: "spot-hit" }), make("circle", { cx, cy, r: 7 * unit }));
    group.append(make("circle", { cx, cy, r: 1.2 * unit, class: "spot-dot" }));
    const label = make("text", { x: cx + 10 * unit, y: cy - 8 * unit, "font-size": 15 * unit });
    label.textContent = name === "middle" ? "M" : this.fields.indexOf(name) + 1;
    group.append(label);
    return group;
  }

  magnify([x, y]) {
    const pen = this.loupe.getContext("2d");
    const colour = (token) => getComputedStyle(this.root).getPropertyValue(token);
    const side = this.loupe.width;
    const scale = (ZOOM * this.svg.clientWidth) / this.picture.naturalWidth;
    const [left, top] = [(x / 100) * this.picture.naturalWidth * scale, (y / 100) * this.picture.naturalHeight * scale];
    pen.fillStyle = colour("--black");
    pen.fillRect(0, 0, side, side);
    pen.drawImage(this.picture, side / 2 - left, side / 2 - top, this.picture.naturalWidth * scale, this.picture.naturalHeight * scale);
    pen.strokeStyle = colour("--over-spot");
    pen.strokeRect(side / 2 - 0.5, 0, 1, side);
    pen.strokeRect(0, side / 2 - 0.5, side, 1);
    this.loupe.classList.toggle("right", x < 50);
    this.loupe.hidden = false;
  }
}
