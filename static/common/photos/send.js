// Sends one picture: asks by its digest whether the catalogue has it already, so that after a lost connection nothing
// goes over the line twice, and tells how far it has come.
import { ask, Lost, upload } from "../fetch.js";
import { digestOf } from "./digest.js";

/** How long to wait before the next try by itself, in seconds. */
export const PATIENCE_S = [2, 4, 8, 16, 30, 60, 60, 60];

/**
 * Answers the catalogue's words about the picture: `{ there: true, ... }` where it had it, else what it said on taking it.
 * Throws Lost where the connection broke, AbortError where `signal` called it off, Error with the catalogue's sentence
 * where the picture is refused.
 */
export async function sendPicture(file, { address, fields = {}, progress, signal }) {
  const known = await ask(`${address}?sha256=${await digestOf(file)}`);
  if (known.ok && known.data.there) return known.data;
  const form = new FormData();
  for (const [name, value] of Object.entries(fields)) form.append(name, value);
  form.append("pictures", file);
  const { status, data } = await upload(address, form, { progress, signal });
  if (status === 201 && data) return data;
  if (data?.error) throw new Error(data.error);
  throw new Lost("The catalogue did not take it: open this page again, then add it once more.");
}
