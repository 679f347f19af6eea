// The same marks tapped in two pictures.
import { Pad } from "./pad.js";

for (const root of document.querySelectorAll("[data-pad]")) new Pad(root, ["Mark 1", "Mark 2", "Mark 3", "Mark 4"], () => {});
