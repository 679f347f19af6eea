// A shelf's picture with its boxes; without script the same boxes are rows of numbers below it.
import { watchEdges } from "./edges.js";
import { Canvas } from "./shelf_canvas.js";
import { Keeper } from "./shelf_keep.js";
import { BoxRows } from "./shelf_rows.js";

const form = document.querySelector("[data-shelf]");
const rows = new BoxRows(form);
const keeper = new Keeper(form);
const count = form.querySelector("[data-count]");
const undo = form.querySelector("[data-undo]");
const canvas = new Canvas(
  form,
  rows,
  () => {
    tell();
    lookAround();
    keeper.soon();
  },
  (row) => {
    taken.push(row);
    undo.hidden = false;
  },
);
const taken = [];
const lookAround = watchEdges(form.querySelector("[data-edges]"), () => rows.all().map((row) => rows.read(row)));

function tell() {
  const all = rows.all();
  all.forEach((row, n) => (row.querySelector("[data-name]").textContent = n + 1));
  count.textContent = all.length > 1 ? `these ${all.length}` : all.length ? "this one" : "the bottles";
}

form.classList.add("live");
form.querySelector("[data-add]").addEventListener("click", () => canvas.add());
undo.addEventListener("click", () => {
  canvas.putBack(taken.pop());
  undo.hidden = !taken.length;
});
rows.list.addEventListener("change", (event) => {
  const row = event.target.closest("[data-box]");
  if (event.target.name.endsWith("-remove")) canvas.remove(row);
  else {
    canvas.draw();
    tell();
    keeper.soon();
  }
});
rows.list.addEventListener("focusin", (event) => canvas.pick(event.target.closest("[data-box]")));
addEventListener("resize", () => {
  canvas.draw();
  lookAround();
});
tell();
canvas.draw();
lookAround();
