// Offers the position that a chosen picture notes; it goes into the form only when it is pressed.
import { upload } from "../../common/fetch.js";

const part = document.querySelector("[data-position]");
const picture = part.querySelector("input");
const noted = part.querySelector("[data-noted]");

picture.addEventListener("change", async () => {
  const [file] = picture.files;
  if (!file) return;
  noted.replaceChildren("Looking at the picture …");
  const sent = new FormData();
  sent.append("picture", file);
  try {
    const { data } = await upload(part.dataset.position, sent);
    noted.replaceChildren(...(data?.latitude ? offer(data) : [data?.error ?? "The picture could not be looked at."]));
  } catch (error) {
    noted.replaceChildren(error.message);
  }
});

function offer({ words, latitude, longitude }) {
  const told = document.createElement("p");
  told.append("The picture notes ", Object.assign(document.createElement("b"), { textContent: words }));
  told.append(": where the camera was, which may be the boat or the shore.");
  const use = Object.assign(document.createElement("button"), { type: "button", className: "btn q", textContent: "Choose this position" });
  use.addEventListener("click", () => {
    const { form } = picture;
    for (const [name, value] of Object.entries({ latitude, longitude })) {
      form.elements[name].value = value;
      form.elements[name].dispatchEvent(new Event("input", { bubbles: true }));
    }
    noted.replaceChildren("It stands in the form now, and is kept when you save.");
    form.elements.latitude.focus();
  });
  return [told, use];
}
