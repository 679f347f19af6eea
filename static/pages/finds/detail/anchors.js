// Marks the anchor whose part is read, and opens what is shut at the place an address or an act leads to.
import { openAround } from "../../../common/open_around.js";

const anchors = [...document.querySelectorAll(".to a")];

function mark() {
  const line = innerHeight / 3;
  // Asked for anew each time: an act swaps a part for a fresh one.
  const parts = anchors.map((anchor) => document.querySelector(anchor.hash));
  const atEnd = innerHeight + scrollY >= document.documentElement.scrollHeight - 2;
  const reached = parts.filter((part) => part.getBoundingClientRect().top <= line).length;
  const here = atEnd ? parts.length - 1 : Math.max(reached - 1, 0);
  anchors.forEach((anchor, n) => (n === here ? anchor.setAttribute("aria-current", "true") : anchor.removeAttribute("aria-current")));
}
if (anchors.length) {
  addEventListener("scroll", mark, { passive: true });
  mark();
}

function openAt(id, touched) {
  const place = id && document.getElementById(id);
  if (!place) return;
  openAround(place);
  // Only a touch asks for the form itself; an act that came back to its place wants it shut.
  const asked = touched && document.querySelector(`[data-open-at="${CSS.escape(id)}"]`);
  if (asked) {
    asked.open = true;
    asked.querySelector("summary").focus({ preventScroll: true });
  }
  place.scrollIntoView();
}
openAt(location.hash.slice(1), false);
document.addEventListener("click", ({ target }) => {
  const link = target.closest?.('a[href^="#"]:not(.to a, .skip)');
  if (link) setTimeout(() => openAt(link.hash.slice(1), true));
});
