// Sends one record that is kept in this browser: whether the catalogue has it already, its pictures, then its words.
import { ask, Lost, SignedOut, standing } from "../fetch.js";
import { sendPicture } from "../photos/send.js";
import { pictureOf } from "./store.js";

/** The catalogue wants the form looked at: something in it is wrong. */
export class Refused extends Error {}

/** It got through before, its answer lost on the way, and was changed since. */
export class SavedBefore extends Error {
  constructor(address) {
    super("It was saved before it was changed.");
    this.address = address;
  }
}

/**
 * Answers the address that the record led to. Throws Lost or SignedOut where it is to be tried again later, Refused or
 * SavedBefore where a person must look at it. `told({ there, of })` hears of each picture; `files` are pictures that this page holds itself.
 */
export async function sendRecord(record, { told = () => {}, files = new Map() } = {}) {
  const now = await standing(record.once);
  if (now.kept && record.firstSent !== record.text) throw new SavedBefore(now.kept);
  if (now.kept) return now.kept;
  const data = new FormData();
  for (const [name, value] of record.words) data.append(name, value);
  // What the catalogue would date by now happened when the button was pressed.
  if (record.late && record.moment && !data.get(record.moment)) data.set(record.moment, minuteOf(record.at));
  let there = 0;
  for (const picture of record.pictures) {
    const token = await tokenOf(picture, record, files);
    data.append("held", token);
    data.append(`role-${token}`, picture.role);
    told({ there: (there += 1), of: record.pictures.length });
  }
  const answer = await ask(record.address, { send: data, stay: true, headers: { Accept: "text/html" } });
  if (answer.status >= 500) throw new Lost(answer.data.error ?? whatIsSaid(answer.data));
  if (!answer.led) throw new Refused("The catalogue wants a look at it first.");
  if (answer.led.startsWith("/enter/")) throw new SignedOut("This browser was signed out.");
  return answer.led;
}

async function tokenOf(picture, record, files) {
  const file = files.get(picture.id) ?? (picture.id && (await pictureOf(picture.id)));
  if (!file) return picture.token; // it came with the page
  const held = await sendPicture(file, { address: record.hold, fields: { role: picture.role } });
  return held.token;
}

function minuteOf(at) {
  return new Date(at - new Date(at).getTimezoneOffset() * 60_000).toISOString().slice(0, 16);
}

// The heading of a page that says why.
function whatIsSaid(page) {
  const read = new DOMParser().parseFromString(page, "text/html");
  const said = read.querySelector("[role=alert], h1")?.textContent ?? "The catalogue is in trouble.";
  return said.trim().replace(/\s+/g, " ");
}
