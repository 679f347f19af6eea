// What every page does with script on: bring the first error into view, and ask before what can't be undone by a tap.
const focus = document.querySelector("[data-focus]");
if (focus) {
  focus.focus();
  focus.scrollIntoView({ block: "center" });
}

// Heard on the way down, before a form that is sent in place hears of it.
document.addEventListener(
  "submit",
  (event) => {
    const question = event.submitter?.dataset.ask;
    if (!question || window.confirm(question)) return;
    event.preventDefault();
    event.stopPropagation();
  },
  true,
);

// The open room stays in sight in the one-line list of rooms on a phone.
document.querySelector(".rooms [aria-current]")?.scrollIntoView({ inline: "center", block: "nearest" });
