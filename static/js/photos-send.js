// Sends one picture: asks by its digest whether the catalogue has it already, so that after a lost connection nothing
// goes over the line twice, and tells how far it has come.
import { digestOf } from "./photos-digest.js";

/** The connection broke; worth another try. */
export class Lost extends Error {}

/** How long to wait before the next try by itself, in seconds. */
export const PATIENCE_S = [2, 4, 8, 16, 30, 60, 60, 60];

/**
 * Answers the catalogue's words about the picture: `{ there: true, ... }` where it had it, else what it said on taking it.
 * Throws Lost where the connection broke, Error with the catalogue's sentence where the picture is refused.
 */
export async function sendPicture(file, { address, fields, progress, began }) {
  const known = await ask(address, await digestOf(file));
  if (known?.there) return known;
  return new Promise((done, failed) => {
    const data = new FormData();
    for (const [name, value] of Object.entries(fields)) data.append(name, value);
    data.append("pictures", file);
    const request = new XMLHttpRequest(); // fetch can't tell how far a file has come
    request.open("POST", address);
    request.responseType = "json";
    request.upload.addEventListener("progress", (event) => {
      if (event.lengthComputable) progress(event.loaded / event.total);
    });
    request.addEventListener("load", () => {
      if (request.status === 201 && request.response) done(request.response);
      else if (request.response?.error) failed(new Error(request.response.error));
      else failed(new Lost("The catalogue did not take it: open this page again, then add it once more."));
    });
    request.addEventListener("error", () => failed(new Lost("The connection was lost before it was there.")));
    request.addEventListener("abort", () => failed(new Error("Taken back.")));
    began?.(request);
    request.send(data);
  });
}

async function ask(address, sha256) {
  try {
    const answer = await fetch(`${address}?sha256=${sha256}`, { headers: { Accept: "application/json" } });
    return answer.ok ? await answer.json() : null;
  } catch {
    throw new Lost("The connection was lost before it was there.");
  }
}
