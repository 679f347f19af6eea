// Sends each picture as soon as it is chosen or dropped, so that nothing typed beside it waits and nothing is lost by an
// error elsewhere in the form. Without script the same field is a plain one and the pictures come with the form.
import { ask, Lost } from "../fetch.js";
import { PATIENCE_S, sendPicture } from "./send.js";

const AT_ONCE = 2;

for (const picker of document.querySelectorAll("[data-picker]")) start(picker);

function start(picker) {
  const form = picker.closest("form");
  const input = picker.querySelector("input[type=file]");
  const drop = picker.querySelector("[data-drop]");
  const list = picker.querySelector("[data-list]");
  const told = picker.querySelector("[data-told]");
  const waiting = [];
  let sending = 0;
  let wanted = null; // the button that was pressed while pictures were still on their way

  picker.classList.add("live");
  for (const row of list.querySelectorAll("[data-token]")) row.append(removeButton(row));
  // A form that comes back after its tab was closed brings its pictures back: detail = [{ token, role, name }].
  picker.addEventListener("restore-pictures", (event) => {
    for (const held of event.detail) restore(held);
  });

  input.addEventListener("change", () => {
    take(input.files);
    input.value = ""; // or they would be sent a second time with the form
  });
  drop.addEventListener("dragover", (event) => {
    event.preventDefault();
    drop.classList.add("over");
  });
  drop.addEventListener("dragleave", () => drop.classList.remove("over"));
  drop.addEventListener("drop", (event) => {
    event.preventDefault();
    drop.classList.remove("over");
    take(event.dataTransfer.files);
  });
  form.addEventListener("submit", (event) => {
    if (!sending && !waiting.length) return;
    event.preventDefault();
    wanted = event.submitter ?? true;
    told.textContent = "Waiting for the pictures; the form is sent as soon as they are there.";
  });

  function take(files) {
    for (const file of files) {
      const row = newRow(file);
      list.append(row);
      waiting.push({ file, row });
    }
    next();
  }

  function emptyRow(name) {
    const row = picker.querySelector("[data-row]").content.firstElementChild.cloneNode(true);
    row.querySelector(".picker-name").textContent = name;
    row.querySelector("[data-role]").setAttribute("aria-label", `What ${name} shows`);
    row.querySelector("[data-remove]").addEventListener("click", () => remove(row));
    return row;
  }

  function newRow(file) {
    const row = emptyRow(file.name);
    const thumb = row.querySelector("[data-thumb]");
    const seen = URL.createObjectURL(file);
    // A browser that can't draw this kind shows it once the catalogue has made its small copy.
    thumb.addEventListener("error", () => thumb.classList.add("blank"), { once: true });
    thumb.addEventListener("load", () => URL.revokeObjectURL(seen), { once: true });
    thumb.src = seen;
    row.querySelector("[data-again]").addEventListener("click", () => {
      clearTimeout(row.timer);
      row.classList.remove("failed");
      row.querySelector("[data-again]").hidden = true;
      row.querySelector(".picker-why").textContent = "";
      waiting.push({ file, row });
      next();
    });
    return row;
  }

  function next() {
    while (sending < AT_ONCE && waiting.length) {
      const { file, row } = waiting.shift();
      if (!row.isConnected) continue;
      sending += 1;
      send(file, row).finally(() => {
        sending -= 1;
        next();
      });
    }
    if (!sending && !waiting.length && wanted) {
      const button = wanted;
      wanted = null;
      // A picture that could not be sent stays in sight with its reason: the form waits for a second press.
      if (list.querySelector(".failed")) told.textContent = "A picture could not be taken in; look at its line.";
      else form.requestSubmit(button === true ? undefined : button);
    }
  }

  async function send(file, row) {
    row.sending = new AbortController();
    try {
      const held = await sendPicture(file, {
        address: picker.dataset.hold,
        fields: { role: row.querySelector("[data-role]").value },
        progress: (part) => (row.querySelector("progress").value = part),
        signal: row.sending.signal,
      });
      arrived(row, held);
    } catch (error) {
      if (row.isConnected) failed(row, error);
    }
  }

  function arrived(row, held) {
    if (!row.isConnected) return letGo(held.token);
    if (list.querySelector(`[data-token="${held.token}"]`)) {
      row.remove(); // the same picture was chosen twice
      return;
    }
    row.dataset.token = held.token;
    row.classList.add("there");
    const thumb = row.querySelector("[data-thumb]");
    if (thumb.classList.contains("blank")) {
      thumb.src = held.thumb;
      thumb.classList.remove("blank");
    }
    row.querySelector("[data-role]").name = `role-${held.token}`;
    const token = document.createElement("input");
    Object.assign(token, { type: "hidden", name: "held", value: held.token });
    row.append(token);
    told.textContent = `${held.name || "The picture"} is there.`;
    form.dispatchEvent(new Event("input", { bubbles: true }));
  }

  function restore({ token, role, name }) {
    if (list.querySelector(`[data-token="${CSS.escape(token)}"]`)) return;
    const row = emptyRow(name || "picture");
    const thumb = row.querySelector("[data-thumb]");
    thumb.addEventListener("error", () => row.remove(), { once: true }); // no longer kept
    thumb.src = thumbAddress(token);
    if (role) row.querySelector("[data-role]").value = role;
    list.append(row);
    arrived(row, { token, name });
  }

  function failed(row, error) {
    const again = row.querySelector("[data-again]");
    const why = row.querySelector(".picker-why");
    row.classList.add("failed");
    why.textContent = error.message;
    again.hidden = !(error instanceof Lost);
    if (again.hidden) return;
    const wait = PATIENCE_S[row.tries ?? 0];
    row.tries = (row.tries ?? 0) + 1;
    if (!wait) return;
    why.textContent += ` It is tried again in ${wait} seconds.`;
    row.timer = setTimeout(() => row.isConnected && again.click(), wait * 1000);
  }

  function removeButton(row) {
    const button = document.createElement("button");
    Object.assign(button, { type: "button", className: "btn q small", textContent: "Remove" });
    button.addEventListener("click", () => remove(row));
    return button;
  }

  function remove(row) {
    const token = row.dataset.token;
    row.sending?.abort();
    row.remove();
    if (token) letGo(token);
    input.focus();
  }

  function thumbAddress(token) {
    return new URL(`../held/${encodeURIComponent(token)}/`, new URL(picker.dataset.hold, location.href)).href;
  }

  function letGo(token) {
    // Whether it is heard or not: what nobody claims is let go by itself later.
    ask(`${thumbAddress(token)}let-go/`, { send: new FormData(), leaving: true }).catch(() => {});
  }
}
