// A shelf's picture with its boxes; without script the same boxes are rows of numbers below it.
import { Canvas } from "./shelf_canvas.js";
import { Keeper } from "./shelf_keep.js";
import { BoxRows } from "./shelf_rows.js";

const form = document.querySelector("[data-shelf]");
const rows = new BoxRows(form);
const keeper = new Keeper(form);
const count = form.querySelector("[data-count]");
const canvas = new Canvas(form, rows, () => {
  tell();
  keeper.soon();
});

function tell() {
  const all = rows.all();
  all.forEach((row, n) => (row.querySelector("[data-name]").textContent = n + 1));
  count.textContent = all.length > 1 ? `these ${all.length}` : all.length ? "this one" : "the bottles";
}

form.classList.add("live");
form.querySelector("[data-add]").addEventListener("click", () => canvas.add());
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
addEventListener("resize", () => canvas.draw());
tell();
canvas.draw();
