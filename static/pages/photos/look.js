// The arrow keys go to the picture before and after; while one is looked at closely they move it instead.
document.addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey || document.querySelector("dialog[open]")) return;
  document.querySelector(`[data-look="${CSS.escape(event.key)}"]`)?.click();
});
