// Pointer events (mouse, pen, finger alike), and the keys that do the same: drags, taps that are not the end of a drag,
// arrow keys, and moving an item to a place among others.
const NEAR_EDGE_PX = 70;
const STEP_PX = 14;
const MOVED_PX = 6;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const CLICK_WITHIN_MS = 100;
const justDragged = new WeakSet();
const pressed = new Set();
let held = [];

/**
 * Follows each pointer that is pressed within `root`, until it is let go.
 * `start(event)` answers what is held, or nothing where the press is none of ours; `move(held, event)` is called once it
 * moved `slack` CSS pixels; `end(held, event, { moved, calledOff })` once. `capture(held)` names the element that keeps
 * the pointer, so that it is followed outside of the window too.
 */
export function onDrag(root, { start, move, end, capture, slack = 0 }) {
  root.addEventListener("pointerdown", (first) => {
    const held = first.button ? null : start(first);
    if (!held) return;
    let moved = false;
    capture?.(held).setPointerCapture(first.pointerId);
    const pulled = (event) => {
      if (event.pointerId !== first.pointerId) return;
      moved ||= Math.hypot(event.clientX - first.clientX, event.clientY - first.clientY) >= slack;
      if (moved) move(held, event);
    };
    const released = (event) => {
      if (event.pointerId !== first.pointerId) return;
      for (const [name, heard] of heardOf) document.removeEventListener(name, heard);
      justDragged.add(root);
      setTimeout(() => justDragged.delete(root));
      end?.(held, event, { moved, calledOff: event.type === "pointercancel" });
    };
    // Heard by the document: what is dragged may change its place in the page, and loses the pointer by that.
    const heardOf = Object.entries({ pointermove: pulled, pointerup: released, pointercancel: released });
    for (const [name, heard] of heardOf) document.addEventListener(name, heard);
  });
}

/** Taps and clicks within `root`, but not the click that a drag there ends with. */
export function onTap(root, tapped) {
  root.addEventListener("click", (event) => justDragged.has(root) || tapped(event));
}

/** Where an arrow key points: [right, down] of -1, 0 and 1; null for any other key, or with Ctrl, Alt or Meta. */
export function arrow(event) {
  return event.ctrlKey || event.altKey || event.metaKey ? null : (ARROWS[event.key] ?? null);
}

/** A finger on what `wanted(event)` names drags it instead of the page: parts of a drawing can't say so by style. */
export function holdStill(root, wanted) {
  root.addEventListener("touchstart", (event) => wanted(event) && event.preventDefault(), { passive: false });
}

/**
 * Items that are dragged to a place among others, the page rolling along at its edges.
 * A finger takes hold by `handle` alone, so that the page still scrolls; a mouse also by what `mouse` names.
 * `item(held)` answers what is dragged; `over(item, element, event)` is told what lies under it;
 * `end(item, calledOff)` once it was moved at all.
 */
export function onMoveItem(root, { handle, mouse, item, over, end }) {
  root.addEventListener("dragstart", (event) => {
    if (event.target.closest(mouse ?? handle)) event.preventDefault();
  });
  onDrag(root, {
    slack: MOVED_PX,
    start(event) {
      const held = event.target.closest(handle) ?? (mouse && event.pointerType === "mouse" && event.target.closest(mouse));
      const dragged = held && item(held);
      if (!dragged) return null;
      if (held.matches(handle)) event.preventDefault();
      return { item: dragged, roll: 0, last: event };
    },
    move(drag, event) {
      drag.last = event;
      drag.item.classList.add("dragged");
      drag.roll ||= setInterval(() => rollAlong(drag, over), 16);
      lookUnder(drag, over);
    },
    end(drag, event, { moved, calledOff }) {
      clearInterval(drag.roll);
      drag.item.classList.remove("dragged");
      if (!moved) return;
      // The click that may follow a drag would tick the picture it ended on.
      const swallow = (click) => {
        click.preventDefault();
        click.stopPropagation();
      };
      addEventListener("click", swallow, true);
      setTimeout(() => {
        removeEventListener("click", swallow, true);
        end(drag.item, calledOff);
      }, 0);
    },
  });
}

function lookUnder({ item, last }, over) {
  const below = document.elementFromPoint(last.clientX, last.clientY);
  if (below) over(item, below, last);
}

function rollAlong(drag, over) {
  const { clientY } = drag.last;
  const by = clientY < NEAR_EDGE_PX ? -STEP_PX : clientY > innerHeight - NEAR_EDGE_PX ? STEP_PX : 0;
  if (!by) return;
  scrollBy(0, by);
  lookUnder(drag, over);
}

/** Calls `then` at once where no pointer is down, else when all are up and the click that follows was heard. */
export function whenReleased(then) {
  if (pressed.size) held.push(then);
  else then();
}

function letGo() {
  if (pressed.size) return;
  const all = held;
  held = [];
  for (const then of all) then();
}

function released(event) {
  if (event.type === "blur" || (event.type === "pointermove" && !event.buttons)) pressed.clear();
  if (!pressed.delete(event.pointerId) && event.type === "pointerup") return;
  if (held.length) setTimeout(letGo, event.type === "pointerup" ? CLICK_WITHIN_MS : 0);
}

// A pointer counts as down from here on, before any part of the page hears of it.
addEventListener("pointerdown", (event) => event.button || pressed.add(event.pointerId), true);
for (const name of ["pointerup", "pointercancel", "pointermove"]) addEventListener(name, released, true);
addEventListener("blur", released);
addEventListener("click", () => held.length && setTimeout(letGo), true);
