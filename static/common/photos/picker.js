// Sends each picture as soon as it is chosen or dropped, so that nothing typed beside it waits and nothing is lost by an
// error elsewhere in the form; until its form is saved it is kept in this browser as well. Without script the same field
// is a plain one and the pictures come with the form.
import { ask, Lost } from "../fetch.js";
import { here } from "../unsent/note.js";
import { dropPicture, newPictureId, putPicture } from "../unsent/store.js";
import { PATIENCE_S, sendPicture } from "./send.js";

const AT_ONCE = 2;
const kept = new WeakMap(); // row -> { id, file }

/** The pictures of a form, refused ones left out: `{ id, file, token, role, name }`, a token only where it is there. */
export function picturesOf(form) {
  const rows = [...form.querySelectorAll("[data-list] > li:not(.refused)")];
  return rows.map((row) => ({
    ...kept.get(row),
    token: row.dataset.token,
    role: row.querySelector("select").value,
    name: row.querySelector(".picker-name").textContent,
  }));
}

/** Rows that the catalogue drew get back the files that this browser keeps of them, known by their tokens. */
export function adoptPictures(form, pictures) {
  for (const { id, token } of pictures) {
    const row = token && form.querySelector(`[data-list] > li[data-token="${CSS.escape(token)}"]`);
    if (row && id) kept.set(row, { id });
  }
}

/** Empties the picker for the next record; what was in it stays kept. */
export function clearPictures(form) {
  form.querySelector("[data-list]")?.replaceChildren();
}

for (const picker of document.querySelectorAll("[data-picker]")) start(picker);

function start(picker) {
  const form = picker.closest("form");
  const input = picker.querySelector("input[type=file]");
  const drop = picker.querySelector("[data-drop]");
  const list = picker.querySelector("[data-list]");
  const told = picker.querySelector("[data-told]");
  const waiting = [];
  let sending = 0;

  for (const row of list.querySelectorAll("[data-token]")) row.append(removeButton(row));
  // A form that comes back after its tab was closed brings its pictures back: detail = [{ id, file, token, role, name }].
  picker.addEventListener("restore-pictures", (event) => {
    for (const held of event.detail) restore(held);
  });

  const chosen = () => {
    if (!input.files.length) return;
    take(input.files);
    input.value = ""; // or they would be sent a second time with the form
  };
  input.addEventListener("change", chosen);
  // The same field opens the camera at once where the hand holds one (photos.css shows it there alone); else it offers
  // what is kept.
  const camera = picker.querySelector("[data-camera]");
  camera.addEventListener("click", () => {
    input.setAttribute("capture", "environment");
    input.click();
    setTimeout(() => input.removeAttribute("capture"));
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
  addEventListener("online", () => list.querySelectorAll(".failed [data-again]:not([hidden])").forEach((each) => each.click()));

  function take(files) {
    for (const file of files) {
      const id = newPictureId();
      putPicture(id, file);
      add(newRow(file), { id, file });
    }
  }

  chosen(); // a quick hand has chosen before this script was here

  function add(row, { id, file }) {
    kept.set(row, { id, file });
    list.append(row);
    waiting.push({ file, row });
    next();
    form.dispatchEvent(new Event("input", { bubbles: true }));
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
      forgetRow(row); // the same picture was chosen twice
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

  function restore({ id, file, token, role, name }) {
    const row = file ? newRow(file) : emptyRow(name || "picture");
    if (role) row.querySelector("[data-role]").value = role;
    if (file) return add(row, { id, file });
    if (!token || list.querySelector(`[data-token="${CSS.escape(token)}"]`)) return;
    const thumb = row.querySelector("[data-thumb]");
    thumb.addEventListener("error", () => row.remove(), { once: true }); // no longer kept
    thumb.src = thumbAddress(token);
    list.append(row);
    arrived(row, { token, name });
  }

  function failed(row, error) {
    const again = row.querySelector("[data-again]");
    const why = row.querySelector(".picker-why");
    row.classList.add("failed");
    why.textContent = error.message;
    again.hidden = !(error instanceof Lost);
    row.classList.toggle("refused", again.hidden);
    if (again.hidden) return;
    const wait = PATIENCE_S[row.tries ?? 0];
    row.tries = (row.tries ?? 0) + 1;
    why.textContent += ` It is kept ${here()}${wait ? `, and tried again in ${wait} seconds` : ""}.`;
    if (!wait) return;
    row.timer = setTimeout(() => row.isConnected && again.click(), wait * 1000);
  }

  function removeButton(row) {
    const button = document.createElement("button");
    Object.assign(button, { type: "button", className: "btn q", textContent: "Delete" });
    button.addEventListener("click", () => remove(row));
    return button;
  }

  function remove(row) {
    const token = row.dataset.token;
    row.sending?.abort();
    forgetRow(row);
    if (token) letGo(token);
    input.focus();
  }

  function forgetRow(row) {
    const { id } = kept.get(row) ?? {};
    if (id) dropPicture(id);
    row.remove();
    form.dispatchEvent(new Event("input", { bubbles: true }));
  }

  function thumbAddress(token) {
    return new URL(`../held/${encodeURIComponent(token)}/`, new URL(picker.dataset.hold, location.href)).href;
  }

  function letGo(token) {
    // Whether it is heard or not: what nobody claims is let go by itself later.
    ask(`${thumbAddress(token)}let-go/`, { send: new FormData(), leaving: true }).catch(() => {});
  }
}
