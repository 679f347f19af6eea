// One touch names a piece below the plate, the next opens it. A mouse and the keyboard name it on their way.
const plate = document.getElementById("collection");
const named = document.getElementById("named");
// The years in words are the same for all rulers of a catalogue: they stand in the page once.
const years = named?.querySelector(".ruler-labels");
let finger = false;

const current = () => plate.querySelector("[aria-current]");

function name(link) {
  const said = link.parentElement.querySelector("template");
  if (!said || link === current()) return;
  current()?.removeAttribute("aria-current");
  link.setAttribute("aria-current", "true");
  named.replaceChildren(said.content.cloneNode(true));
  if (years) named.querySelector(".ruler")?.append(years.cloneNode(true));
}

const pieceAt = (event) => event.target.closest("#collection li:has(template) > a");

if (plate && named) {
  plate.addEventListener("pointerdown", (event) => {
    finger = event.pointerType !== "mouse";
  });
  plate.addEventListener("click", (event) => {
    const link = pieceAt(event);
    if (!link || !finger || link === current()) return;
    event.preventDefault();
    name(link);
  });
  plate.addEventListener("pointerover", (event) => {
    const link = event.pointerType === "mouse" && pieceAt(event);
    if (link) name(link);
  });
  plate.addEventListener("focusin", (event) => {
    const link = pieceAt(event);
    if (link && link.matches(":focus-visible")) name(link);
  });
  plate.addEventListener("keydown", () => {
    finger = false;
  });
}
