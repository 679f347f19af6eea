// The queue of what was saved in this browser and is not with the catalogue yet. Every open page of the owner sends it, one
// page at a time, as soon as the catalogue can be reached again; the catalogue itself keeps each record once.
import { Lost, SignedOut } from "../fetch.js";
import { PATIENCE_S } from "../photos/send.js";
import { SavedBefore, sendRecord } from "./send.js";
import { allRecords, claim, dropOrphans, forget, putRecord } from "./store.js";

const CLAIM_MS = 60_000;
const ORPHAN_MS = 24 * 60 * 60 * 1000;
const STATES = [[SignedOut, "signed-out"], [Lost, "lost"], [SavedBefore, "saved-before"]];
const onScreen = new Map(); // key -> { files, told }: records whose form is open on this page
let tries = 0;
let timer = 0;
let going = null;

/** Follows a record whose form is open here: `told(state, detail)` hears how its sending goes. */
export function follow(key, files, told) {
  onScreen.set(key, { files, told });
}

export function unfollow(key) {
  onScreen.delete(key);
}

/** Sends all that waits; at once, and then again and again with growing patience until nothing waits. */
export async function sendAll() {
  clearTimeout(timer);
  // What was added while others were being sent has its turn after them.
  if (going) await going;
  going ??= sendEach().finally(() => (going = null));
  return going;
}

async function sendEach() {
  const waiting = (await allRecords()).filter((record) => record.state === "waiting");
  let left = 0;
  for (const record of waiting) left += (await sendOne(record)) ? 0 : 1;
  document.dispatchEvent(new CustomEvent("unsent-left", { detail: { left } }));
  if (!left) return (tries = 0);
  const wait = PATIENCE_S[Math.min(tries, PATIENCE_S.length - 1)];
  tries += 1;
  timer = setTimeout(sendAll, wait * 1000);
}

async function sendOne(record) {
  const screen = onScreen.get(record.key);
  const told = screen?.told ?? (() => {});
  if (!(await claim(record.key, CLAIM_MS)) && !screen) return false;
  try {
    told("sending", { there: 0, of: record.pictures.length });
    const detail = { files: screen?.files, told: (count) => told("sending", count) };
    const address = await sendRecord(record, detail);
    await forget(record);
    told("there", { address });
    document.dispatchEvent(new CustomEvent("unsent-there", { detail: { record, address, seen: Boolean(screen) } }));
    return true;
  } catch (error) {
    const state = STATES.find(([kind]) => error instanceof kind)?.[1] ?? "refused";
    const now = (await allRecords()).find(({ key }) => key === record.key);
    const looked = state === "refused" || state === "saved-before";
    if (now?.state === "waiting") await putRecord({ ...now, state: looked ? "refused" : "waiting", claimedUntil: 0, late: true });
    told(state, { why: error.message, address: error.address });
    if (looked && !screen) document.dispatchEvent(new CustomEvent("unsent-refused", { detail: { record } }));
    return looked;
  }
}

addEventListener("online", sendAll);
document.addEventListener("visibilitychange", () => document.hidden || sendAll());
dropOrphans(ORPHAN_MS);
