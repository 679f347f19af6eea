// Drags a piece of a shelf to another place among the pieces; the order is kept as soon as it is let go.
import { onMoveItem } from "../../common/pointer.js";

const form = document.querySelector("[data-stand]");
if (form) arrange(form, form.querySelector("[data-after]"));

function arrange(form, list) {
  const before = (piece) => piece.nextElementSibling?.dataset.piece ?? list.dataset.after;
  let stood = "";
  form.classList.add("live");
  onMoveItem(list, {
    handle: "[data-grip]",
    mouse: "[data-piece]",
    item(held) {
      const piece = held.closest("[data-piece]");
      stood = piece && before(piece);
      return piece;
    },
    over(piece, below, event) {
      const other = below.closest("[data-piece]");
      if (!other || other === piece || other.parentElement !== list) return;
      const box = other.getBoundingClientRect();
      if (event.clientX > box.left + box.width / 2) other.after(piece);
      else other.before(piece);
    },
    end(piece) {
      if (before(piece) === stood) return;
      const field = form.elements.stand;
      field.disabled = false;
      field.value = `${piece.dataset.piece}-${before(piece)}`;
      form.requestSubmit();
    },
  });
}
