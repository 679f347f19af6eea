// What every page does with script on: bring the first error into view, and ask before what can't be undone by a tap.
const focus = document.querySelector("[data-focus]");
if (focus) {
  focus.focus();
  focus.scrollIntoView({ block: "center" });
}

document.addEventListener("submit", (event) => {
  const question = event.submitter?.dataset.ask;
  if (question && !window.confirm(question)) event.preventDefault();
});

// The open room stays in sight in the one-line list of rooms on a phone.
document.querySelector(".rooms [aria-current]")?.scrollIntoView({ inline: "center", block: "nearest" });
