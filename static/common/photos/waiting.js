// Pictures of a camera's card that were chosen and are not with the catalogue yet: each is kept in this browser, so that
// neither a network that is gone nor a page that is closed loses one. The card's own page sends its own; any other page
// of the owner's sends them as soon as the catalogue can be reached.
import { Lost } from "../fetch.js";
import { allRecords, claim, forget, newKey, newPictureId, pictureOf, putPicture, putRecord } from "../unsent/store.js";
import { PATIENCE_S, sendPicture } from "./send.js";

const OF_A_CARD = "card";
const CLAIM_MS = 60_000;
let tries = 0;
let timer = 0;
let going = false;

/** Keeps the files of `items`, `{ file, done, record }`, one after the other; those that are `done` meanwhile are let go. */
export async function keepPictures(items, address) {
  for (const item of items) {
    if (item.done) continue;
    const id = newPictureId();
    const { name } = item.file;
    const record = { key: newKey(), once: "", of: address, state: OF_A_CARD, at: Date.now(), address, title: name, words: [], text: "", pictures: [{ id, name }] };
    await putPicture(id, item.file);
    await putRecord({ ...record, page: location.pathname });
    item.record = record;
    if (item.done) await forget(record);
  }
}

/** The pictures that an earlier page of the card at `address` kept and did not send, as items. */
export async function keptPictures(address) {
  const items = [];
  for (const record of await ofCards()) {
    if (record.address !== address) continue;
    const file = await pictureOf(record.pictures[0].id);
    if (file) items.push({ file, record, tries: 0 });
    else await forget(record);
  }
  return items;
}

const ofCards = async () => (await allRecords()).filter(({ state }) => state === OF_A_CARD);

/** Sends what waits of all cards but that at `own`; `told({ there, left, page })` hears of it. */
export async function sendKept(own, told) {
  clearTimeout(timer);
  if (going) return;
  going = true;
  let left = 0;
  try {
    const waiting = (await ofCards()).filter(({ address, refused }) => address !== own && !refused);
    left = waiting.length;
    for (const [at, record] of waiting.entries()) {
      if (!(await sendOne(record))) break; // the line is gone, or another page is at it
      left -= 1;
      told({ there: at + 1, left, page: record.page });
    }
    if (left) told({ there: 0, left, page: "" });
  } finally {
    going = false;
  }
  tries = left ? tries + 1 : 0;
  if (left) timer = setTimeout(() => sendKept(own, told), PATIENCE_S[Math.min(tries, PATIENCE_S.length) - 1] * 1000);
}

async function sendOne(record) {
  if (!(await claim(record.key, CLAIM_MS))) return false;
  const file = await pictureOf(record.pictures[0].id);
  try {
    if (file) await sendPicture(file, { address: record.address });
    await forget(record);
    return true;
  } catch (error) {
    const refused = !(error instanceof Lost);
    await putRecord({ ...record, refused, claimedUntil: 0 });
    return refused;
  }
}
