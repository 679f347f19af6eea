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

  function order() {
    return rows().map((row) => row.dataset.picture).join(",");
  }

  async function save(row) {
    const now = order();
    if (now === before) return;
    const data = new FormData();
    data.append("order", now);
    before = now;
    try {
      const answer = await ask(list.dataset.order, { send: data });
      told.textContent = answer.ok
        ? `Picture ${rows().indexOf(row) + 1} of ${rows().length} now.`
        : answer.data.error || "The order was not kept: open the page again.";
      told.classList.toggle("unseen", answer.ok);
    } catch {
      told.textContent = "The connection was lost: the order was not kept. Open the page again.";
      told.classList.remove("unseen");
    }
  }
}
