// Parts of drawings.
const SPACE = "http://www.w3.org/2000/svg";

/** A new element of SVG with its attributes. */
export function make(kind, attributes) {
  const node = document.createElementNS(SPACE, kind);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  return node;
}

/** Where a pointer is, in the drawing's own units. */
export function placeIn(svg, event) {
  return new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
}
