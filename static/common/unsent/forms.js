// Every form of a page that makes or changes a record is saved from its page, and what waits in the queue is told of.
import { here } from "./note.js";
import { sendAll } from "./queue.js";
import { UnsentForm } from "./form.js";

// A form of buttons and ticks alone has nothing that would take long to give once more.
const GIVEN = "[data-picker], textarea, select, input:is(:not([type]), [type=text], [type=number], [type=date], [type=time], [type=file])";
for (const form of document.querySelectorAll("main form[method=post]:not([hx-post], [hx-get], [data-own-save])")) {
  const given = form.querySelector(GIVEN);
  if (given && (form.elements.once || form.querySelector("[data-picker]"))) new UnsentForm(form, { shows: onlyShows });
}

// A button for more rows shows the form again.
function onlyShows(button) {
  return button?.name === "more" || button?.value === "more";
}

const main = document.getElementById("main");
let bar = null;

function tell(words, link) {
  bar ??= Object.assign(document.createElement("p"), { className: "message", role: "status" });
  bar.textContent = words;
  if (link) bar.append(" ", Object.assign(document.createElement("a"), { href: link[1], textContent: link[0] }));
  main.prepend(bar);
}

const named = ({ title }) => (title ? `“${title}”` : "A page");

document.addEventListener("unsent-left", ({ detail: { left } }) => {
  if (!left || document.querySelector(".unsent-note")) return;
  const are = left === 1 ? "One record is" : `${left} records are`;
  tell(`${are} kept ${here()} and not with the catalogue yet. Leave a page of it open: it is sent by itself.`);
});
document.addEventListener("unsent-there", ({ detail: { record, address, seen } }) => {
  if (!seen) tell(`${named(record)} was kept ${here()} and is saved now.`, ["Look at it", address]);
});
document.addEventListener("unsent-refused", ({ detail: { record } }) => {
  tell(`${named(record)} is kept ${here()}; the catalogue wants a look at it first.`, ["Open it", record.page]);
});
sendAll();
