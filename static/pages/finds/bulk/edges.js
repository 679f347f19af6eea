// Signs at the edges of a picture wider than the screen: how many boxes lie beyond, and a press rolls there.
const TURN = 0.8;
const SLACK_PX = 4;

/**
 * Watches what scrolls within `frame`; `boxes()` answers all boxes as parts of the picture, 0 to 1.
 * Answers a function to call where the boxes or the sizes changed.
 */
export function watchEdges(frame, boxes) {
  const scroll = frame.querySelector("[data-scroll]");
  const signs = [...frame.querySelectorAll("[data-beyond]")];

  function look() {
    const [from, to, whole] = [scroll.scrollLeft, scroll.scrollLeft + scroll.clientWidth, scroll.scrollWidth];
    const middles = boxes().map((box) => ((box.left + box.right) / 2) * whole);
    for (const sign of signs) {
      const before = sign.dataset.beyond === "before";
      const beyond = middles.filter((x) => (before ? x < from : x > to)).length;
      sign.hidden = before ? from <= SLACK_PX : to >= whole - SLACK_PX;
      sign.querySelector("[data-beyond-count]").textContent = beyond || "";
      const side = before ? "left" : "right";
      const more = beyond === 1 ? "1 more box" : beyond ? `${beyond} more boxes` : "more of the picture";
      sign.setAttribute("aria-label", `Show ${more} to the ${side}`);
    }
  }

  for (const sign of signs) {
    const way = sign.dataset.beyond === "before" ? -1 : 1;
    sign.addEventListener("click", () => scroll.scrollBy({ left: way * TURN * scroll.clientWidth }));
  }
  scroll.addEventListener("scroll", look, { passive: true });
  return look;
}
