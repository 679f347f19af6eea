// Every form of a page that makes or changes a record is saved from its page, and what waits in the queue is told of.
import { sendKept } from "../photos/waiting.js";
import { here } from "./note.js";
import { isFilledIn } from "./press.js";
import { sendAll } from "./queue.js";
import { UnsentForm } from "./form.js";

const begun = new WeakSet();

function begin() {
  for (const form of document.querySelectorAll("main form[method=post]:not([hx-post], [data-own-save])")) {
    if (begun.has(form) || !isFilledIn(form)) continue;
    begun.add(form);
    if (!form.elements.once && !form.querySelector("[data-picker]")) continue;
    if (!form.querySelector("[type=password]")) new UnsentForm(form, { shows: onlyShows });
  }
}
begin();
document.addEventListener("htmx:afterSettle", begin);

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

const ownCard = document.querySelector("[data-card-send]")?.dataset.arrive;
const pictures = (count) => (count === 1 ? "1 picture" : `${count} pictures`);
function sendPictures() {
  sendKept(ownCard, ({ there, left, page }) => {
    if (!left) tell(`${pictures(there)} of a card that ${there === 1 ? "was" : "were"} kept ${here()} ${there === 1 ? "is" : "are"} with the catalogue now.`, ["Look at the card", page]);
    else if (there) tell(`Sending the pictures of a card that are kept ${here()}: ${left} still to go.`);
    else tell(`${pictures(left)} of a card ${left === 1 ? "waits" : "wait"} ${here()} to be sent. Leave a page of the catalogue open: ${left === 1 ? "it goes" : "they go"} on by ${left === 1 ? "itself" : "themselves"}.`);
  });
}
addEventListener("online", sendPictures);
document.addEventListener("visibilitychange", () => document.hidden || sendPictures());
sendPictures();
