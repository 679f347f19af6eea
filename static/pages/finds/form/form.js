// The form of a find with script on: rows that are added in place, a draft that survives a closed tab, the first error in view.
import { UnsentForm } from "../../../common/unsent/form.js";
import { followDive } from "./first_role.js";
import { watchFits } from "./fits.js";
import { growRows } from "./rows.js";

const form = document.querySelector("#record");
const grow = growRows(form);
watchFits(form);
if (form.dataset.draft === "new") followDive(form);
showFirstError(form);

// Enter in a box presses the first button, which dates it: that happens here by itself.
form.addEventListener("submit", (event) => {
  if (event.submitter?.value !== "date") return;
  event.preventDefault();
  form.dispatchEvent(new Event("change", { bubbles: true }));
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

new UnsentForm(form, { grow, shows: (button) => !["save", "another"].includes(button?.value) });

function showFirstError(form) {
  const wrong = form.querySelector("[aria-invalid=true], .error");
  if (!wrong) return;
  for (let box = wrong.closest("details"); box; box = box.parentElement.closest("details")) box.open = true;
  const field = wrong.matches("input, select, textarea") ? wrong : null;
  (field ?? document.querySelector(".warn"))?.focus({ preventScroll: true });
  wrong.scrollIntoView({ block: "center" });
}
