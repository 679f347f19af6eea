// Sends one picture: asks by its digest whether the catalogue has it already, so that after a lost connection nothing
// goes over the line twice, and tells how far it has come.
import { ask, Lost, SignedOut, standing, upload } from "../fetch.js";
import { digestOf } from "./digest.js";

/** How long to wait before the next try by itself, in seconds. */
export const PATIENCE_S = [2, 4, 8, 16, 30, 60, 60, 60];

const underWay = new Map(); // file -> its sending

/**
 * Answers the catalogue's words about the picture: `{ there: true, ... }` where it had it, else what it said on taking it.
 * Throws Lost where the connection broke, AbortError where `signal` called it off, Error with the catalogue's sentence
 * where the picture is refused. A file that is on its way already is not sent a second time.
 */
export function sendPicture(file, asked) {
  if (!underWay.has(file)) underWay.set(file, send(file, asked).finally(() => underWay.delete(file)));
  return underWay.get(file);
}

async function send(file, { address, fields = {}, progress, signal }) {
  const known = await ask(`${address}?sha256=${await digestOf(file)}`);
  if (known.led) throw new SignedOut("This browser was signed out.");
  if (known.ok && known.data.there) return known.data;
  const form = new FormData();
  for (const [name, value] of Object.entries(fields)) form.append(name, value);
  form.append("pictures", file);
  let { status, data } = await upload(address, form, { progress, signal });
  if (status === 403) {
    // Somebody signed in since on another page of this browser: the token of this one had gone stale.
    await standing();
    ({ status, data } = await upload(address, form, { progress, signal }));
  }
  if (status === 201 && data) return data;
  if (data?.error) throw new (status >= 500 ? Lost : Error)(data.error);
  throw new Lost("The catalogue did not take it.");
}
