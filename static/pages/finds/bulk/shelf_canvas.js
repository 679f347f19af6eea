// Boxes drawn on the picture: tapped, dragged, sized, and reached by keyboard.
import { between } from "../../../common/numbers.js";
import { arrow, holdStill, onDrag, onTap } from "../../../common/pointer.js";
import { make, placeIn } from "../../../common/svg.js";

const LEAST = 0.006;
const MOVED_PX = 4;

export class Canvas {
  // `changed(row)` is called after every change, `row` null where one was taken out; `removed(row)` before that.
  constructor(form, rows, changed, removed) {
    this.rows = rows;
    this.changed = changed;
    this.removed = removed;
    this.svg = form.querySelector("[data-canvas]");
    this.layer = this.svg.querySelector("[data-waiting]");
    // Above all boxes, so that a neighbour's never covers them.
    this.handles = this.svg.appendChild(make("g", { class: "handles", "aria-hidden": "true" }));
    this.wide = Number(form.dataset.pictureWidth);
    this.high = Number(form.dataset.pictureHeight);
    this.letter = Number(form.dataset.letter);
    this.picked = null;
    this.dragging = false;
    // A slim bottle over half of the picture, until there is a box to go by.
    this.usual = [Math.min(0.4, (0.16 * this.high) / this.wide), 0.6];
    // Only the picked box is dragged by a finger, and by one: else a picture full of boxes could not be scrolled past.
    holdStill(this.svg, (event) => event.touches.length === 1 && event.target.closest?.(".box.picked, [data-corner]"));
    onDrag(this.svg, {
      slack: MOVED_PX,
      capture: () => this.svg,
      start: (event) => this.press(event),
      move: (drag, event) => this.move(drag, event),
      end: (drag, event, { moved }) => this.release(drag, moved),
    });
    onTap(this.svg, (event) => this.tap(event));
    this.svg.addEventListener("keydown", (event) => this.key(event));
    this.svg.addEventListener("focusin", (event) => this.pick(this.rowOf(event.target)));
  }

  draw() {
    const known = this.rows.all().map((row) => this.rows.read(row));
    // The usual size outlasts its boxes: all taken out, the next is still as large.
    if (known.length) this.usual = [middle(known.map((b) => b.right - b.left)), middle(known.map((b) => b.bottom - b.top))];
    const focused = this.layer.contains(document.activeElement);
    this.handles.replaceChildren();
    this.layer.replaceChildren(...this.rows.all().map((row, n) => this.box(row, n)));
    if (focused && this.picked) this.layer.querySelector(".picked")?.focus({ preventScroll: true });
  }

  box(row, n) {
    const { left, top, right, bottom } = this.rows.read(row);
    const [x, y, width, height] = [left * this.wide, top * this.high, (right - left) * this.wide, (bottom - top) * this.high];
    const group = make("g", { class: "box", tabindex: 0, role: "button", "data-n": n });
    group.setAttribute("aria-label", `Box ${n + 1}, ${Math.round(100 * left)} per cent from the left`);
    group.append(make("rect", { x, y, width, height }));
    const name = make("text", { x: x + width / 2, y: y + height, dy: "-.5em", "font-size": this.letter, "text-anchor": "middle" });
    name.textContent = n + 1;
    group.append(name);
    if (row === this.picked) {
      group.classList.add("picked");
      this.handle(n, x, y, x + width, y + height);
    }
    return group;
  }

  // The picked box's corners to size it by, and the cross that takes it out.
  handle(n, left, top, right, bottom) {
    const unit = this.wide / this.svg.clientWidth;
    for (const [corner, cx, cy] of [["start", left, top], ["end", right, bottom]]) {
      this.handles.append(make("circle", { class: "corner", cx, cy, r: 7 * unit }));
      this.handles.append(make("circle", { class: "grip", cx, cy, r: 16 * unit, "data-corner": corner, "data-n": n }));
    }
    // Beside the box, where a finger hides neither the bottle nor a corner; within the picture always.
    const [x, y] = [between(right + 14 * unit, 0, this.wide - 14 * unit), Math.max(top, 14 * unit)];
    const [arm, out] = [5 * unit, make("g", { class: "out", "data-out": "" })];
    out.append(make("circle", { class: "grip", cx: x, cy: y, r: 22 * unit }));
    out.append(make("circle", { class: "disc", cx: x, cy: y, r: 13 * unit }));
    out.append(make("path", { d: `M${x - arm} ${y - arm}L${x + arm} ${y + arm}M${x + arm} ${y - arm}L${x - arm} ${y + arm}` }));
    this.handles.append(out);
  }

  rowOf(target) {
    const group = target.closest?.("[data-n]");
    return group ? this.rows.all()[Number(group.dataset.n)] : null;
  }

  pick(row) {
    if (!row || row === this.picked) return;
    this.picked?.classList.remove("picked");
    this.picked = row;
    row.classList.add("picked");
    for (const group of this.layer.children) group.classList.toggle("picked", this.rowOf(group) === row);
    if (!this.dragging) this.draw();
  }

  // Where a pointer is, as parts of the picture.
  at(event) {
    const point = placeIn(this.svg, event);
    return { x: point.x / this.wide, y: point.y / this.high };
  }

  press(event) {
    const row = this.rowOf(event.target);
    if (!row) return null;
    event.preventDefault();
    const corner = event.target.dataset.corner;
    this.pick(row);
    this.layer.querySelector(".picked")?.focus({ preventScroll: true });
    this.dragging = true;
    return { row, corner, from: this.at(event), box: this.rows.read(row) };
  }

  move({ row, corner, from, box }, event) {
    const to = this.at(event);
    const [dx, dy] = [to.x - from.x, to.y - from.y];
    this.rows.write(row, corner === "start" ? sized(box, dx, dy, 0, 0) : corner ? sized(box, 0, 0, dx, dy) : shifted(box, dx, dy));
    this.draw();
  }

  release({ row }, moved) {
    this.dragging = false;
    this.draw();
    if (moved) this.changed(row);
  }

  tap(event) {
    if (event.target.closest("[data-out]")) return this.remove(this.picked);
    if (event.target.closest("[data-corner]")) return;
    if (event.target.closest(".box")) return;
    this.add(this.at(event));
  }

  // A box of the usual size of this picture around a place, or beside the picked one.
  add(at) {
    const [wide, high] = this.usual;
    const near = this.picked && !this.picked.hidden ? this.rows.read(this.picked) : null;
    const centre = at || (near ? { x: near.right + wide / 2, y: (near.top + near.bottom) / 2 } : { x: 0.5, y: 0.5 });
    const box = { left: centre.x - wide / 2, right: centre.x + wide / 2, top: centre.y - high / 2, bottom: centre.y + high / 2 };
    // Cut at the picture's edge and not moved: it must not cover the bottle beside it.
    const row = this.rows.add(at ? cut(box) : shifted(box, 0, 0));
    if (!row) return;
    this.pick(row);
    this.draw();
    this.layer.querySelector(".picked")?.focus({ preventScroll: true });
    this.changed(row);
  }

  remove(row) {
    const n = this.rows.all().indexOf(row);
    this.rows.remove(row);
    this.removed(row);
    if (row === this.picked) this.picked = null;
    this.draw();
    const rest = this.layer.children;
    (rest[Math.min(n, rest.length - 1)] ?? this.svg.closest("[tabindex]")).focus({ preventScroll: true });
    this.changed(null);
  }

  putBack(row) {
    this.rows.putBack(row);
    this.pick(row);
    this.draw();
    this.layer.querySelector(".picked")?.focus({ preventScroll: true });
    this.changed(row);
  }

  key(event) {
    const row = this.rowOf(event.target);
    if (!row) return;
    if (event.key === "Delete" || event.key === "Backspace") {
      event.preventDefault();
      this.remove(row);
    } else if (arrow(event)) {
      event.preventDefault();
      const [across, down] = arrow(event);
      const step = Math.max(this.wide, this.high) / 200;
      const [dx, dy] = [(across * step) / this.wide, (down * step) / this.high];
      const box = this.rows.read(row);
      this.rows.write(row, event.shiftKey ? sized(box, 0, 0, dx, dy) : shifted(box, dx, dy));
      this.draw();
      this.changed(row);
    }
  }
}

// Moved whole, and kept inside the picture.
function shifted(box, dx, dy) {
  const [wide, high] = [Math.min(1, box.right - box.left), Math.min(1, box.bottom - box.top)];
  const left = between(box.left + dx, 0, 1 - wide);
  const top = between(box.top + dy, 0, 1 - high);
  return { left, top, right: left + wide, bottom: top + high };
}

function cut(box) {
  return {
    left: between(box.left, 0, 1 - LEAST),
    top: between(box.top, 0, 1 - LEAST),
    right: between(box.right, LEAST, 1),
    bottom: between(box.bottom, LEAST, 1),
  };
}

function sized(box, left, top, right, bottom) {
  return {
    left: between(box.left + left, 0, box.right - LEAST),
    top: between(box.top + top, 0, box.bottom - LEAST),
    right: between(box.right + right, box.left + LEAST, 1),
    bottom: between(box.bottom + bottom, box.top + LEAST, 1),
  };
}

function middle(numbers) {
  return numbers.sort((a, b) => a - b)[Math.floor(numbers.length / 2)];
}
