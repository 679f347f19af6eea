// Keeps the boxes as they are drawn, a moment after each change: a tab that is closed half-way loses nothing.
import { ask } from "../../../common/fetch.js";

const PAUSE_MS = 600;

export class Keeper {
  constructor(form) {
    this.form = form;
    this.told = form.querySelector("[data-kept]");
    this.timer = 0;
    addEventListener("pagehide", () => this.timer && this.send(true));
    form.addEventListener("submit", () => this.rest());
  }

  soon() {
    clearTimeout(this.timer);
    this.told.textContent = "";
    this.timer = setTimeout(() => this.send(false), PAUSE_MS);
  }

  // The form itself is on its way.
  rest() {
    clearTimeout(this.timer);
    this.timer = 0;
  }

  async send(leaving) {
    this.rest();
    try {
      const send = new FormData(this.form);
      const answer = await ask(this.form.action || location.href, { send, headers: { "X-Keep": "yes" }, leaving });
      const wrong = answer.led ? "open this page again." : "a number among the boxes can't be read.";
      this.told.textContent = answer.ok ? "Saved." : `Not saved: ${wrong}`;
    } catch {
      this.told.textContent = "Not saved: the connection was lost. It is tried again with the next change.";
    }
  }
}
