// The table with script on: Enter goes one row down (and makes it), and rows copied from a spreadsheet can be pasted.
import { renumber } from "../../../common/formset.js";

const form = document.querySelector("[data-many]");
const table = form.querySelector("table.many");
const total = form.querySelector("[name=row-TOTAL_FORMS]");
const rows = () => [...table.querySelectorAll("[data-row]")];
const cells = (row) => [...row.querySelectorAll("[data-cell]")];

function addRow() {
  const number = Number(total.value);
  if (number >= Number(table.dataset.most)) return null;
  const row = rows()[0].cloneNode(true);
  for (const told of row.querySelectorAll(".error")) told.remove();
  for (const wrong of row.querySelectorAll(".has-error")) wrong.classList.remove("has-error");
  renumber(row, "row", number);
  for (const cell of cells(row)) {
    cell.removeAttribute("aria-invalid");
    cell.removeAttribute("aria-describedby");
    cell.value = "";
  }
  row.querySelector("th").textContent = number + 1;
  table.tBodies[0].append(row);
  total.value = number + 1;
  return row;
}

const below = (row) => rows()[rows().indexOf(row) + 1] ?? addRow();

table.addEventListener("keydown", (event) => {
  const cell = event.target.closest("[data-cell]");
  if (!cell || event.key !== "Enter" || event.isComposing) return;
  event.preventDefault();
  if (event.ctrlKey || event.metaKey) {
    form.requestSubmit(form.querySelector("[value=save]"));
    return;
  }
  const row = cell.closest("[data-row]");
  const next = event.shiftKey ? rows()[rows().indexOf(row) - 1] : below(row);
  if (next) cells(next)[event.shiftKey ? cells(row).indexOf(cell) : 0].focus();
});

table.addEventListener("paste", (event) => {
  const cell = event.target.closest("[data-cell]");
  const text = event.clipboardData?.getData("text/plain").replace(/\r\n?/g, "\n").replace(/\n$/, "") ?? "";
  if (!cell || !/[\t\n]/.test(text)) return;
  event.preventDefault();
  let row = cell.closest("[data-row]");
  const from = cells(row).indexOf(cell);
  for (const line of text.split("\n")) {
    if (!row) return;
    line.split("\t").forEach((value, n) => {
      const target = cells(row)[from + n];
      if (target) put(target, value.trim());
    });
    row = below(row);
  }
});

function put(cell, value) {
  if (cell.tagName !== "SELECT") cell.value = value;
  else cell.value = [...cell.options].find((option) => option.text === value.toLowerCase() || option.value === value)?.value ?? "";
}
