// Shows what only works with script, hides what is only needed without; also in parts that come later.
export function live(root = document) {
  for (const part of root.querySelectorAll(".live-only")) part.hidden = false;
  for (const part of root.querySelectorAll(".without-script")) part.hidden = true;
}
