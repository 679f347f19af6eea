// What a page says of a form that is being saved: on the page itself, where the finger was.
import { signInAddress } from "../fetch.js";

/** Where what is not sent is kept, in a neighbour's words. */
export const here = () => (matchMedia("(pointer: coarse)").matches ? "on this phone" : "in this browser");

/** The way to sign in and come back to this page. */
export const signIn = () => ["Sign in", signInAddress()];

/** Goes to an address; also where only what follows its # differs from this page, which is then loaded anew. */
export function go(address) {
  const to = new URL(address, location.href);
  if (to.pathname + to.search !== location.pathname + location.search) return location.assign(to);
  history.replaceState(null, "", to);
  location.reload();
}

/** A box above the form; `say(words, acts)` fills it, acts being `[label, pressed or address]`. */
export class Note {
  constructor(form) {
    this.form = form;
    this.box = null;
  }

  say(words, acts = [], { warn = false, show = true } = {}) {
    if (!this.box?.isConnected) this.box = this.build();
    for (let closed = this.box.closest("details:not([open])"); closed; closed = closed.parentElement.closest("details:not([open])")) closed.open = true;
    this.box.classList.toggle("warn", warn);
    this.box.replaceChildren(...words.map((sentence) => Object.assign(document.createElement("p"), { textContent: sentence })));
    if (acts.length) this.box.append(this.row(acts));
    if (show) this.box.scrollIntoView({ block: "center" });
  }

  build() {
    const box = document.createElement("div");
    box.className = "next unsent-note";
    box.setAttribute("role", "status");
    this.form.before(box);
    return box;
  }

  row(acts) {
    const row = Object.assign(document.createElement("p"), { className: "acts" });
    for (const [label, act] of acts) {
      const link = typeof act === "string";
      const part = document.createElement(link ? "a" : "button");
      part.className = row.children.length ? "btn q" : "btn";
      part.textContent = label;
      if (link) part.href = act;
      else {
        part.type = "button";
        part.addEventListener("click", act);
      }
      row.append(part);
    }
    return row;
  }

  clear() {
    this.box?.remove();
    this.box = null;
  }
}

/** "the words of this find and its 2 pictures" */
export function calledWith(what, pictures) {
  if (!pictures) return `the words of ${what}`;
  return `the words of ${what} and its ${pictures === 1 ? "picture" : `${pictures} pictures`}`;
}
