// Dragging with mouse, pen or finger alike: pointer events, since a browser's own drag and drop knows no finger.
// A finger takes hold by `handle` alone, so that the page still scrolls; a mouse also by what `mouse` names, once it moves.
// `start(held)` returns what is dragged; `over(item, element, event)` is told what lies under it; `end(item, calledOff)`.
const NEAR_EDGE_PX = 70;
const STEP_PX = 14;
const MOVED_PX = 6;

export function draggable(root, { handle, mouse, start, over, end }) {
  root.addEventListener("dragstart", (event) => {
    if (event.target.closest(mouse ?? handle)) event.preventDefault();
  });
  root.addEventListener("pointerdown", (event) => {
    const held = event.target.closest(handle) ?? (mouse && event.pointerType === "mouse" && event.target.closest(mouse));
    if (!held || event.button) return;
    const item = start(held);
    if (!item) return;
    if (held.matches(handle)) event.preventDefault();
    follow(item, event, { over, end });
  });
}

function follow(item, first, { over, end }) {
  let last = first;
  let roll = null;

  const look = () => {
    const below = document.elementFromPoint(last.clientX, last.clientY);
    if (below) over(item, below, last);
  };
  const moved = (event) => {
    last = event;
    if (!roll) {
      if (Math.hypot(event.clientX - first.clientX, event.clientY - first.clientY) < MOVED_PX) return;
      item.classList.add("dragged");
      roll = setInterval(() => {
        const by = last.clientY < NEAR_EDGE_PX ? -STEP_PX : last.clientY > innerHeight - NEAR_EDGE_PX ? STEP_PX : 0;
        if (!by) return;
        scrollBy(0, by);
        look();
      }, 16);
    }
    look();
  };
  const done = (event) => {
    clearInterval(roll);
    item.classList.remove("dragged");
    for (const [name, heard] of heardOf) document.removeEventListener(name, heard);
    if (!roll) return;
    // The click that may follow a drag would tick the picture it ended on.
    const swallow = (click) => {
      click.preventDefault();
      click.stopPropagation();
    };
    addEventListener("click", swallow, true);
    setTimeout(() => {
      removeEventListener("click", swallow, true);
      end(item, event.type === "pointercancel");
    }, 0);
  };
  const heardOf = Object.entries({ pointermove: moved, pointerup: done, pointercancel: done });
  for (const [name, heard] of heardOf) document.addEventListener(name, heard);
}
