// The form of a find with script on: rows that are added in place, a draft that survives a closed tab, the first error in view.
import { keepDraft } from "./draft.js";
import { watchFits } from "./fits.js";
import { growRows } from "./rows.js";

const form = document.querySelector("#record");
form.classList.add("live");
const rows = growRows(form);
watchFits(form);
keepDraft(form, rows);
showFirstError(form);

// A second tap on a slow line would send everything twice.
form.addEventListener("submit", (event) => {
  if (event.defaultPrevented) return;
  setTimeout(() => {
    for (const button of form.querySelectorAll("button[name=act]")) button.disabled = true;
  });
});
window.addEventListener("pageshow", () => {
  for (const button of form.querySelectorAll("button[name=act]")) button.disabled = false;
});

// "Nothing there" and characters exclude each other.
form.addEventListener("input", (event) => {
  const cell = event.target.closest(".round > div");
  if (!cell) return;
  const nothing = cell.querySelector("input[type=checkbox]");
  const typed = cell.querySelector("input[type=text]");
  if (event.target === typed && typed.value.trim() && nothing) nothing.checked = false;
  if (event.target === nothing && nothing.checked) typed.value = "";
});

function showFirstError(form) {
  const wrong = form.querySelector("[aria-invalid=true], .error");
  if (!wrong) return;
  for (let box = wrong.closest("details"); box; box = box.parentElement.closest("details")) box.open = true;
  const field = wrong.matches("input, select, textarea") ? wrong : null;
  (field ?? document.querySelector(".warn"))?.focus({ preventScroll: true });
  wrong.scrollIntoView({ block: "center" });
}
