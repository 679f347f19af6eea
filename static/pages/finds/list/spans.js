// Two handles on one line and two numbers say the same span; on a year ruler a span can also be drawn.
import { between } from "../../../common/numbers.js";
import { onDrag } from "../../../common/pointer.js";

const near = (target) => target.closest?.("[data-span]");
const part = (span, name) => span.querySelector(`[data-${name}]`);

function ends(span) {
  const [low, high] = [part(span, "low"), part(span, "high")];
  return { least: Number(low.min), most: Number(high.max), first: Number(low.value), last: Number(high.value) };
}

// Both handles, and the drawing above them: what lies outside is dimmed.
function place(span, first, last) {
  const { least, most } = ends(span);
  const [low, high] = [part(span, "low"), part(span, "high")];
  [low.value, high.value] = [first, last];
  for (const handle of [low, high]) handle.setAttribute("aria-valuetext", `${handle.value} ${span.dataset.unit}`.trim());
  // a handle at an end of the axis takes in the strip of what lies beyond it
  const edge = Number(span.dataset.edge ?? 0);
  const across = (value) => edge + ((100 - 2 * edge) * (value - least)) / (most + 1 - least);
  const [left, right] = [first <= least ? 0 : across(first), last >= most ? 100 : across(last + 1)];
  part(span, "before")?.setAttribute("width", `${left}%`);
  part(span, "after")?.setAttribute("x", `${right}%`);
  part(span, "after")?.setAttribute("width", `${100 - right}%`);
}

// An end that stands at the bound is open, so its number stays empty.
function write(span, first, last) {
  const { least, most } = ends(span);
  // with the unit, so that an address and a saved view mean the same under another setting
  const said = (value) => `${value} ${span.dataset.unit}`.trim();
  part(span, "from").value = first <= least ? "" : said(first);
  part(span, "to").value = last >= most ? "" : said(last);
  place(span, first, last);
}

const told = (span) => part(span, "from").dispatchEvent(new Event("change", { bubbles: true }));

document.addEventListener("input", (event) => {
  const span = near(event.target);
  if (!span || !part(span, "low")) return;
  const { least, most, first, last } = ends(span);
  if (event.target.matches("[data-low]")) write(span, Math.min(first, last), last);
  else if (event.target.matches("[data-high]")) write(span, first, Math.max(first, last));
  else {
    // what is no bare number of its unit is read by the server; until it answers, the handle stands at its end
    const typed = (name, open) => {
      const bare = part(span, name).value.replace(span.dataset.unit, "").replace(/["”″]/, "").trim();
      return bare === "" || Number.isNaN(Number(bare)) ? open : Number(bare);
    };
    const [from, to] = [between(typed("from", least), least, most), between(typed("to", most), least, most)];
    place(span, Math.min(from, to), Math.max(from, to));
  }
});

function yearAt({ plot, span }, event) {
  const { least, most } = ends(span);
  const box = plot.getBoundingClientRect();
  const edge = (box.width * Number(span.dataset.edge)) / 100;
  const part = (event.clientX - box.left - edge) / (box.width - 2 * edge);
  return between(least + Math.floor(part * (most + 1 - least)), least, most);
}

onDrag(document, {
  capture: (drawn) => drawn.plot,
  start(event) {
    const plot = event.target.closest?.("[data-plot]");
    if (!plot) return null;
    const span = near(plot);
    const was = [part(span, "from").value, part(span, "to").value, ends(span)];
    return { plot, span, was, x: event.clientX, moved: false, began: yearAt({ plot, span }, event) };
  },
  move(drawn, event) {
    drawn.moved ||= Math.abs(event.clientX - drawn.x) > 4;
    if (!drawn.moved) return;
    const here = yearAt(drawn, event);
    write(drawn.span, Math.min(drawn.began, here), Math.max(drawn.began, here));
  },
  end({ span, was, moved, began }, event, { calledOff }) {
    if (calledOff) {
      const [from, to, { first, last }] = was;
      [part(span, "from").value, part(span, "to").value] = [from, to];
      place(span, first, last);
      return;
    }
    // a tap without drawing chooses its decade
    const decade = Math.floor(began / 10) * 10;
    const { least, most } = ends(span);
    if (!moved) write(span, Math.max(decade, least), Math.min(decade + 9, most));
    told(span);
  },
});

function begin() {
  for (const handles of document.querySelectorAll("[data-handles]")) handles.hidden = false;
  for (const plot of document.querySelectorAll("[data-plot]")) plot.classList.add("drawable");
}
document.addEventListener("htmx:afterSwap", begin);
begin();
