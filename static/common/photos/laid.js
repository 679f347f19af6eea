// Puts a slider between two pictures laid on each other; without script they stand side by side.
for (const pair of document.querySelectorAll("[data-pair]")) {
  const slide = pair.querySelector(".pair-slide");
  const range = slide.querySelector("input");
  const show = () => {
    pair.style.setProperty("--split", `${range.value}%`);
    range.setAttribute("aria-valuetext", `${range.value} per cent of it after`);
  };
  range.addEventListener("input", show);
  slide.hidden = false;
  pair.classList.add("joined");
  show();
}
