// Two taps on a scale, two on the bottle; the size is worked out by the catalogue after each change.
import { make } from "../../../common/svg.js";
import { Pad } from "./pad.js";

class TwoLines extends Pad {
  under() {
    const lines = [["s1", "s2", "scale-line"], ["b1", "b2", "bottle-line"]];
    return lines.flatMap(([one, other, kind]) => {
      const [from, to] = [this.place(one), this.place(other)];
      if (!from || !to) return [];
      const y = (place) => (place[1] * this.tall) / 100;
      return [make("line", { x1: from[0], y1: y(from), x2: to[0], y2: y(to), class: kind })];
    });
  }
}

const form = document.querySelector("[data-measure]");
const names = ["Scale, one end", "Scale, other end", "Bottle, one side", "Bottle, other side"];
let wait = 0;
new TwoLines(document.querySelector("[data-pad]"), names, () => {
  clearTimeout(wait);
  wait = setTimeout(() => form.dispatchEvent(new Event("taps")), 250);
});
