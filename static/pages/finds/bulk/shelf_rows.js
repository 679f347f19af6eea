// The rows of numbers behind the boxes: what is drawn is read from them and written into them, so that the form
// sends the same with script and without.
import { renumber } from "../../../common/formset.js";

const EDGES = ["left", "top", "right", "bottom"];
const MOST = 200;

export class BoxRows {
  constructor(form) {
    this.list = form.querySelector("[data-box-rows]");
    this.total = form.querySelector("[name=box-TOTAL_FORMS]");
    this.kind = form.dataset.kind;
    const spare = [...this.list.children].find((row) => !this.read(row));
    this.blank = spare.cloneNode(true);
    spare.hidden = true; // an empty row is sent along and means nothing
  }

  // The rows that hold a box, in their order.
  all() {
    return [...this.list.children].filter((row) => !row.hidden && this.read(row));
  }

  field(row, name) {
    return row.querySelector(`[name$="-${name}"]`);
  }

  // Edges as parts of the picture, 0 to 1, or null where one is missing.
  read(row) {
    const values = EDGES.map((name) => this.field(row, name).value);
    if (values.some((value) => value === "" || !Number.isFinite(Number(value)))) return null;
    const [left, top, right, bottom] = values.map((value) => Number(value) / 100);
    return { left, top, right, bottom };
  }

  write(row, box) {
    for (const name of EDGES) this.field(row, name).value = (100 * box[name]).toFixed(3);
  }

  add(box) {
    const number = Number(this.total.value);
    if (number >= MOST) return null;
    const row = this.blank.cloneNode(true);
    renumber(row, "box", number);
    this.field(row, "key").value = newKey();
    this.field(row, "kind").value = this.kind;
    this.write(row, box);
    this.list.append(row);
    this.total.value = number + 1;
    return row;
  }

  // Stays in the form, so that the catalogue is told.
  remove(row) {
    this.field(row, "remove").checked = true;
    row.hidden = true;
  }

  putBack(row) {
    this.field(row, "remove").checked = false;
    row.hidden = false;
  }
}

// Random enough within one picture; `crypto.randomUUID` is missing on a plain home network.
function newKey() {
  return Array.from(crypto.getRandomValues(new Uint8Array(12)), (n) => n.toString(16).padStart(2, "0")).join("");
}
