// Dragging by a handle, with mouse, pen or finger alike: pointer events, since a browser's own drag and drop knows no finger.
// `start(handle)` returns what is dragged; `over(item, element, event)` is told what lies under the pointer; `end(item)`.
const NEAR_EDGE_PX = 70;
const STEP_PX = 14;

export function draggable(root, { handle, start, over, end }) {
  root.addEventListener("pointerdown", (event) => {
    const grip = event.target.closest(handle);
    if (!grip || event.button) return;
    const item = start(grip);
    if (!item) return;
    event.preventDefault();
    let last = event;
    item.classList.add("dragged");
    const look = () => {
      const below = document.elementFromPoint(last.clientX, last.clientY);
      if (below) over(item, below, last);
    };
    const roll = setInterval(() => {
      const { clientY: y } = last;
      const by = y < NEAR_EDGE_PX ? -STEP_PX : y > innerHeight - NEAR_EDGE_PX ? STEP_PX : 0;
      if (!by) return;
      scrollBy(0, by);
      look();
    }, 16);
    const moved = (now) => {
      last = now;
      look();
    };
    const done = (now) => {
      clearInterval(roll);
      item.classList.remove("dragged");
      document.removeEventListener("pointermove", moved);
      document.removeEventListener("pointerup", done);
      document.removeEventListener("pointercancel", done);
      end(item, now.type === "pointercancel");
    };
    document.addEventListener("pointermove", moved);
    document.addEventListener("pointerup", done);
    document.addEventListener("pointercancel", done);
  });
}
