// Adds a row to a set by copying its first one, empty; without script the same button asks the catalogue for it.
import { renumber } from "../../../common/formset.js";

export function growRows(form) {
  const sets = new Map();
  for (const box of form.querySelectorAll("[data-rows]")) {
    sets.set(box.dataset.rows, box);
    box.querySelector("[data-add]").addEventListener("click", (event) => {
      event.preventDefault();
      const row = addRow(box);
      row.querySelector("input:not([type=hidden], [type=radio], [type=checkbox])")?.focus();
    });
  }
  form.addEventListener("change", (event) => {
    if (event.target.name?.endsWith("-DELETE")) {
      event.target.closest("[data-row]").classList.toggle("gone", event.target.checked);
    }
  });
  // As many rows as a draft had.
  return (name, wanted) => {
    const box = sets.get(name);
    while (box && total(box).value < wanted && total(box).value < 20) addRow(box);
  };
}

const total = (box) => box.querySelector("[name$=-TOTAL_FORMS]");

function addRow(box) {
  const all = box.querySelectorAll("[data-row]");
  const number = Number(total(box).value);
  const row = all[0].cloneNode(true);
  row.classList.remove("gone", "has-error");
  for (const told of row.querySelectorAll(".error")) told.remove();
  renumber(row, box.dataset.rows, number);
  for (const field of row.querySelectorAll("input, select, textarea")) empty(field);
  row.querySelector("[data-row-number]").textContent = String(number + 1);
  all[all.length - 1].after(row);
  total(box).value = number + 1;
  return row;
}

function empty(field) {
  field.removeAttribute("aria-invalid");
  if (field.type === "radio") field.checked = field.value === "";
  else if (field.type === "checkbox") field.checked = false;
  else if (field.tagName === "SELECT") field.selectedIndex = 0;
  else field.value = "";
}
