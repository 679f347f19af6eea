// The arrow keys go to the picture before and after.
document.addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
  document.querySelector(`[data-look="${CSS.escape(event.key)}"]`)?.click();
});
