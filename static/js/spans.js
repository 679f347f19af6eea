// Two handles on one line and two numbers say the same span; on a year ruler a span can also be drawn.
const near = (target) => target.closest?.("[data-span]");
const part = (span, name) => span.querySelector(`[data-${name}]`);
const between = (value, low, high) => Math.min(high, Math.max(low, value));

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
  const across = (value) => (100 * (value - least)) / (most + 1 - least);
  part(span, "before")?.setAttribute("width", `${across(first)}%`);
  part(span, "after")?.setAttribute("x", `${across(last + 1)}%`);
  part(span, "after")?.setAttribute("width", `${100 - across(last + 1)}%`);
}

// An end that stands at the bound is open, so its number stays empty.
function write(span, first, last) {
  const { least, most } = ends(span);
  part(span, "from").value = first <= least ? "" : first;
  part(span, "to").value = last >= most ? "" : last;
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
    const typed = (name, open) => (part(span, name).value === "" ? open : Number(part(span, name).value));
    const [from, to] = [between(typed("from", least), least, most), between(typed("to", most), least, most)];
    place(span, Math.min(from, to), Math.max(from, to));
  }
});

let drawn = null;

function yearAt(event) {
  const { least, most } = ends(drawn.span);
  const box = drawn.plot.getBoundingClientRect();
  return between(least + Math.floor(((event.clientX - box.left) / box.width) * (most + 1 - least)), least, most);
}

document.addEventListener("pointerdown", (event) => {
  const plot = event.target.closest?.("[data-plot]");
  if (!plot || event.button !== 0) return;
  const span = near(plot);
  drawn = { plot, span, x: event.clientX, moved: false, was: [part(span, "from").value, part(span, "to").value, ends(span)] };
  drawn.began = yearAt(event);
  plot.setPointerCapture(event.pointerId);
});
document.addEventListener("pointermove", (event) => {
  if (!drawn) return;
  drawn.moved ||= Math.abs(event.clientX - drawn.x) > 4;
  if (!drawn.moved) return;
  const here = yearAt(event);
  write(drawn.span, Math.min(drawn.began, here), Math.max(drawn.began, here));
});
document.addEventListener("pointerup", () => {
  if (!drawn) return;
  // a tap without drawing chooses its decade
  const decade = Math.floor(drawn.began / 10) * 10;
  const { least, most } = ends(drawn.span);
  if (!drawn.moved) write(drawn.span, Math.max(decade, least), Math.min(decade + 9, most));
  told(drawn.span);
  drawn = null;
});
document.addEventListener("pointercancel", () => {
  if (!drawn) return;
  const [from, to, { first, last }] = drawn.was;
  [part(drawn.span, "from").value, part(drawn.span, "to").value] = [from, to];
  place(drawn.span, first, last);
  drawn = null;
});

function begin() {
  for (const handles of document.querySelectorAll("[data-handles]")) handles.hidden = false;
  for (const plot of document.querySelectorAll("[data-plot]")) plot.classList.add("drawable");
  // a number or a handle that moved is followed at once
  for (const button of document.querySelectorAll(".year-brush button[form]")) button.hidden = true;
}
document.addEventListener("htmx:afterSwap", begin);
begin();
