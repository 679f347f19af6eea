// A picture over the whole screen: two fingers, the wheel or + and − bring it near; one finger, the mouse or arrows move it.
import { between } from "../../common/numbers.js";
import { arrow, onDrag } from "../../common/pointer.js";

const NEAREST = 4, STEP = 1.4, TAP_S = 300, SLACK_PX = 8;

class Closer {
  constructor(box) {
    this.box = box;
    this.stage = box.querySelector("[data-stage]");
    this.picture = box.querySelector("img");
    this.told = box.querySelector("[data-told]");
    this.lift = box.querySelector("[data-do=lift]");
    this.fingers = new Set();
    this.lastTap = null;
    for (const link of document.querySelectorAll("[data-closer]")) {
      link.addEventListener("click", (event) => {
        if (event.button || event.ctrlKey || event.metaKey || event.shiftKey) return;
        event.preventDefault();
        this.open();
      });
    }
    const { stage } = this;
    onDrag(stage, {
      capture: () => stage,
      start: (event) => this.press(event),
      move: (finger, event) => this.pull(finger, event),
      end: (finger, event, { calledOff }) => this.release(finger, event, calledOff),
    });
    stage.addEventListener("wheel", (event) => this.wheel(event), { passive: false });
    box.addEventListener("keydown", (event) => this.key(event));
    box.addEventListener("click", (event) => this.act(event.target.closest("[data-do]")?.dataset.do));
    new ResizeObserver(() => box.open && this.fit()).observe(stage);
  }

  open() {
    const { picture } = this;
    if (!picture.src) {
      // What the page shows already stands there until the finest copy has come.
      picture.src = picture.dataset.near;
      const finest = new Image();
      finest.addEventListener("load", () => (picture.src = finest.src));
      finest.src = picture.dataset.nearest;
    }
    this.box.showModal();
    this.stage.focus();
    this.fit();
  }

  // The whole picture in the middle; scale 1 is that.
  fit() {
    const [wide, high] = [this.picture.getAttribute("width"), this.picture.getAttribute("height")].map(Number);
    const room = [this.stage.clientWidth, this.stage.clientHeight];
    const share = Math.min(room[0] / wide, room[1] / high);
    [this.wide, this.high] = [wide * share, high * share];
    this.most = Math.max(NEAREST, NEAREST / (share * (window.devicePixelRatio || 1)));
    this.picture.style.width = `${this.wide}px`;
    this.picture.style.height = `${this.high}px`;
    [this.scale, this.x, this.y] = [1, (room[0] - this.wide) / 2, (room[1] - this.high) / 2];
    this.show();
  }

  show() {
    const keep = (at, size, room) => (size <= room ? (room - size) / 2 : Math.min(0, Math.max(room - size, at)));
    this.x = keep(this.x, this.wide * this.scale, this.stage.clientWidth);
    this.y = keep(this.y, this.high * this.scale, this.stage.clientHeight);
    this.picture.style.transform = `translate(${this.x}px, ${this.y}px) scale(${this.scale})`;
    const words = this.scale < 1.01 ? "whole" : `${this.scale.toFixed(1)} times`;
    if (this.told.textContent !== words) this.told.textContent = words;
  }

  // What lies at (x, y) of the stage stays there.
  zoom(scale, x = this.stage.clientWidth / 2, y = this.stage.clientHeight / 2) {
    const to = between(scale, 1, this.most);
    this.x = x - ((x - this.x) * to) / this.scale;
    this.y = y - ((y - this.y) * to) / this.scale;
    this.scale = to;
    this.show();
  }

  at(event) {
    const box = this.stage.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  }

  press(event) {
    const finger = { at: this.at(event) };
    this.fingers.add(finger);
    this.moved = this.fingers.size > 1;
    this.began = finger.at;
    return finger;
  }

  pull(finger, event) {
    const from = finger.at;
    const to = this.at(event);
    const other = [...this.fingers].find((each) => each !== finger)?.at;
    finger.at = to;
    if (Math.hypot(to[0] - this.began[0], to[1] - this.began[1]) > SLACK_PX) this.moved = true;
    if (other) {
      const middle = (place) => [(place[0] + other[0]) / 2, (place[1] + other[1]) / 2];
      const apart = (place) => Math.hypot(place[0] - other[0], place[1] - other[1]) || 1;
      const [before, after] = [middle(from), middle(to)];
      this.x += after[0] - before[0];
      this.y += after[1] - before[1];
      this.zoom((this.scale * apart(to)) / apart(from), ...after);
    } else {
      this.x += to[0] - from[0];
      this.y += to[1] - from[1];
      this.show();
    }
  }

  // Two quick taps on one spot bring it near, or show the whole again.
  release(finger, event, calledOff) {
    this.fingers.delete(finger);
    if (this.moved || calledOff) return;
    const [x, y] = this.at(event);
    const last = this.lastTap;
    this.lastTap = { x, y, when: event.timeStamp };
    if (last && event.timeStamp - last.when < TAP_S && Math.hypot(x - last.x, y - last.y) < 4 * SLACK_PX) {
      this.lastTap = null;
      if (this.scale > 1.01) this.fit();
      else this.zoom(3, x, y);
    }
  }

  wheel(event) {
    event.preventDefault();
    this.zoom(this.scale * Math.exp(-event.deltaY / 400), ...this.at(event));
  }

  key(event) {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const far = Math.min(this.stage.clientWidth, this.stage.clientHeight) / 6;
    const acts = { "+": "in", "=": "in", "-": "out", 0: "whole" };
    if (arrow(event)) {
      const [right, down] = arrow(event);
      this.x -= right * far;
      this.y -= down * far;
      this.show();
    } else if (acts[event.key]) this.act(acts[event.key]);
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  act(what) {
    if (what === "in") this.zoom(this.scale * STEP);
    if (what === "out") this.zoom(this.scale / STEP);
    if (what === "whole") this.fit();
    if (what === "close") this.box.close();
    if (what === "lift") this.lift.setAttribute("aria-pressed", String(this.picture.classList.toggle("lifted")));
  }
}

const box = document.querySelector("[data-closer-box]");
if (box) new Closer(box);
