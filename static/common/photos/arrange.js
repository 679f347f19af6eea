// Puts pictures in order by dragging or by their arrows, and sends the new order at once. Without script the arrows
// are plain buttons that load the page again.
import { ask } from "../fetch.js";
import { onMoveItem } from "../pointer.js";

const list = document.querySelector("[data-arrange]");
if (list) arrange(list);

function arrange(list) {
  const told = document.querySelector("[data-arrange-told]");
  const rows = () => [...list.children];
  list.classList.add("live");
  let before = order();

  onMoveItem(list, {
    handle: "[data-grip]",
    item: (grip) => grip.closest("li"),
    over(item, below, event) {
      const row = below.closest("li");
      if (!row || row === item || row.parentElement !== list) return;
      const box = row.getBoundingClientRect();
      if (event.clientY > box.top + box.height / 2) row.after(item);
      else row.before(item);
    },
    end: save,
  });
  list.addEventListener("click", (event) => {
    const button = event.target.closest("[data-step]");
    if (!button) return;
    event.preventDefault();
    const row = button.closest("li");
    if (button.dataset.step === "-1") row.previousElementSibling?.before(row);
    else row.nextElementSibling?.after(row);
    button.focus();
    row.scrollIntoView({ block: "nearest" });
    save(row);
  });

  // What was changed is kept at once; Save sends all of it once more and goes back.
  list.addEventListener("change", async (event) => {
    const { name, value } = event.target;
    const data = new FormData();
    const was = event.target.parentElement.querySelector(`[name="was-${name}"]`);
    data.append(name, value);
    data.append(was.name, was.value);
    const wrong = await kept(list.closest("form").action, data, "What it shows was not kept");
    if (!wrong) was.value = value;
    say(wrong, "It is kept.");
  });

  function order() {
    return rows().map((row) => row.dataset.picture).join(",");
  }

  async function save(row) {
    const now = order();
    if (now === before) return;
    const data = new FormData();
    data.append("order", now);
    before = now;
    say(await kept(list.dataset.order, data, "The order was not kept"), `Picture ${rows().indexOf(row) + 1} of ${rows().length} now.`);
  }

  function say(wrong, right) {
    told.textContent = wrong || right;
    told.classList.toggle("unseen", !wrong);
  }
}

// Answers what went wrong, or nothing.
async function kept(address, send, not) {
  try {
    const answer = await ask(address, { send });
    return answer.ok ? "" : answer.data.error || `${not}: open the page again.`;
  } catch {
    return `The connection was lost. ${not}: do it once more.`;
  }
}
