// A relief under a lamp that is dragged across it: slopes come as the colours of a picture, light is worked out here.
import { between } from "../../../common/numbers.js";
import { arrow, onDrag } from "../../../common/pointer.js";
import { live } from "./live.js";

class Relief {
  constructor(canvas) {
    this.canvas = canvas;
    this.form = document.querySelector("[data-lamp-form]");
    this.scale = Number(canvas.dataset.scale);
    const picture = new Image();
    picture.addEventListener("load", () => this.begin(picture));
    picture.src = canvas.dataset.relief;
  }

  begin(picture) {
    const { canvas } = this;
    [canvas.width, canvas.height] = [picture.naturalWidth, picture.naturalHeight];
    this.pen = canvas.getContext("2d", { willReadFrequently: true });
    this.pen.drawImage(picture, 0, 0);
    this.shown = this.pen.getImageData(0, 0, canvas.width, canvas.height);
    const raw = this.shown.data;
    const count = raw.length / 4;
    [this.right, this.up, this.own] = [0, 1, 2].map(() => new Float32Array(count));
    for (let n = 0; n < count; n++) {
      this.right[n] = ((raw[4 * n] - 128) / 127) * this.scale;
      this.up[n] = ((raw[4 * n + 1] - 128) / 127) * this.scale;
      this.own[n] = raw[4 * n + 2] / 255;
    }
    canvas.hidden = false;
    canvas.parentElement.querySelector("[data-still]").hidden = true;
    this.form.querySelector("[data-light]").hidden = true;
    onDrag(canvas, {
      capture: () => canvas,
      start: (event) => this.follow(event),
      move: (lamp, event) => this.follow(event),
    });
    canvas.addEventListener("keydown", (event) => this.key(event));
    this.form.addEventListener("input", () => this.soon());
    this.form.addEventListener("submit", (event) => event.preventDefault());
    this.soon();
  }

  number(name) {
    return Number(this.form.elements[name].value);
  }

  follow(event) {
    const box = this.canvas.getBoundingClientRect();
    const x = (2 * (event.clientX - box.left)) / box.width - 1;
    const y = 1 - (2 * (event.clientY - box.top)) / box.height;
    const hour = (Math.atan2(x, y) * 6) / Math.PI;
    this.form.elements.at.value = hour < 0 ? hour + 12 : hour;
    this.form.elements.high.value = 85 * (1 - between(Math.hypot(x, y), 0, 1));
    this.soon();
    return this;
  }

  key(event) {
    if (!arrow(event)) return;
    event.preventDefault();
    const [right, down] = arrow(event);
    const name = right ? "at" : "high";
    const value = this.number(name) + (right ? 0.25 * right : -3 * down);
    this.form.elements[name].value = name === "at" ? (value + 12) % 12 : value;
    this.soon();
  }

  soon() {
    if (this.waiting) return;
    this.waiting = requestAnimationFrame(() => {
      this.waiting = 0;
      this.light();
    });
  }

  // A dull surface: normal · lamp, the slopes made steeper first. Shown through the screen's curve (sRGB, about 1/2.2).
  light() {
    const turn = (this.number("at") * Math.PI) / 6;
    const rise = (this.number("high") * Math.PI) / 180;
    const steep = this.number("steep");
    const own = this.form.querySelector("[data-own]").checked;
    const [lx, ly, lz] = [Math.sin(turn) * Math.cos(rise), Math.cos(turn) * Math.cos(rise), Math.sin(rise)];
    const out = this.shown.data;
    for (let n = 0; n < this.right.length; n++) {
      const [x, y] = [this.right[n], this.up[n]];
      const z = Math.sqrt(Math.max(0.0025, 1 - x * x - y * y));
      const [sx, sy] = [steep * x, steep * y];
      let amount = (sx * lx + sy * ly + z * lz) / Math.sqrt(sx * sx + sy * sy + z * z);
      if (own) amount *= this.own[n];
      const grey = amount > 0 ? 255 * Math.pow(amount, 1 / 2.2) : 0;
      out[4 * n] = out[4 * n + 1] = out[4 * n + 2] = grey;
    }
    this.pen.putImageData(this.shown, 0, 0);
    const words = `Lamp at ${Number(this.number("at").toFixed(2))} o’clock, ${Math.round(this.number("high"))}° high, slopes ${steep} times as steep.`;
    this.form.querySelector("[data-lamp-told]").textContent = words;
    for (const input of document.querySelectorAll("[data-keep-value]")) {
      if (["at", "high", "steep"].includes(input.name)) input.value = this.form.elements[input.name].value;
    }
  }
}

function begin() {
  live();
  for (const canvas of document.querySelectorAll("[data-relief]")) {
    if (!canvas.dataset.begun) {
      canvas.dataset.begun = "yes";
      new Relief(canvas);
    }
  }
}

document.addEventListener("htmx:afterSwap", begin);
begin();
