// What is not sent yet, kept in this browser (IndexedDB): records with their words, and beside them their pictures.
// Where the browser keeps nothing (a private window), both live as long as the page does.
const NAME = "siltmark-unsent";
const LATE = "siltmark-unsent-late";
const EMPTIED = "siltmark-unsent-emptied";
const shownAt = Date.now();
const memory = { records: new Map(), pictures: new Map() };
let opened = null;

function open() {
  opened ??= new Promise((done, failed) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore("records", { keyPath: "key" });
      asked.result.createObjectStore("pictures");
    };
    asked.onsuccess = () => done(asked.result);
    asked.onerror = asked.onblocked = () => failed(asked.error);
  });
  return opened;
}

// `work(store)` answers a request; its result once all of it is written.
async function within(name, mode, work) {
  const database = await open();
  return new Promise((done, failed) => {
    const step = database.transaction(name, mode, { durability: "strict" });
    const asked = work(step.objectStore(name));
    step.oncomplete = () => done(asked.result);
    step.onerror = step.onabort = () => failed(step.error);
  });
}

/** Deletes all of it, as the owner signs this browser out; pages that are open then keep nothing any more. */
export async function deleteAll() {
  memory.records.clear();
  memory.pictures.clear();
  try {
    localStorage.setItem(EMPTIED, String(Date.now()));
    localStorage.removeItem(LATE);
  } catch {
    // then nothing was kept there either
  }
  for (const name of ["records", "pictures"]) await within(name, "readwrite", (store) => store.clear()).catch(() => {});
}

function emptied() {
  try {
    return Number(localStorage.getItem(EMPTIED)) >= shownAt;
  } catch {
    return false;
  }
}

/** Whether what is kept outlives this page. */
export async function outlivesThePage() {
  return open().then(() => true, () => false);
}

/** Keeps a record as its page goes: there a write that takes its time is cut off. Files among its words are left out. */
export function putLate(record) {
  if (emptied()) return;
  const words = record.words.filter(([, value]) => typeof value === "string");
  try {
    localStorage.setItem(LATE, JSON.stringify({ ...record, words }));
  } catch {
    // no room or not allowed: what was kept a moment before is still there
  }
}

async function takeLate() {
  try {
    const late = JSON.parse(localStorage.getItem(LATE));
    localStorage.removeItem(LATE);
    if (late) await putRecord(late);
  } catch {
    // nothing was kept then
  }
}

/** Every record, the oldest first. */
export async function allRecords() {
  await takeLate();
  const kept = await within("records", "readonly", (store) => store.getAll()).catch(() => []);
  return [...kept, ...memory.records.values()].sort((a, b) => a.at - b.at);
}

export async function putRecord(record) {
  if (emptied()) return;
  try {
    await within("records", "readwrite", (store) => store.put(record));
    memory.records.delete(record.key);
  } catch {
    memory.records.set(record.key, record);
  }
}

/** A picture of a record, by an id of its own; written once, however often the words beside it change. */
export async function putPicture(id, file) {
  if (emptied()) return;
  await within("pictures", "readwrite", (store) => store.put(file, id)).catch(() => memory.pictures.set(id, file));
}

export async function pictureOf(id) {
  return memory.pictures.get(id) ?? within("pictures", "readonly", (store) => store.get(id)).catch(() => undefined);
}

export async function dropPicture(id) {
  memory.pictures.delete(id);
  await within("pictures", "readwrite", (store) => store.delete(id)).catch(() => {});
}

/** Forgets a record and its pictures. */
export async function forget(record) {
  memory.records.delete(record.key);
  for (const { id } of record.pictures) {
    if (id) await dropPicture(id);
  }
  await within("records", "readwrite", (store) => store.delete(record.key)).catch(() => {});
}

/** Takes a record for sending, for so long; false where another page of this browser has it, or it is gone. */
export async function claim(key, forMs) {
  if (memory.records.has(key)) return true;
  let claimed = false;
  await within("records", "readwrite", (store) => {
    const asked = store.get(key);
    asked.onsuccess = () => {
      const record = asked.result;
      claimed = Boolean(record) && (record.claimedUntil ?? 0) < Date.now();
      if (claimed) store.put({ ...record, claimedUntil: Date.now() + forMs });
    };
    return asked;
  }).catch(() => {});
  return claimed;
}

/** Drops pictures that no record speaks of: their page was closed before anything was typed beside them. */
export async function dropOrphans(afterMs) {
  const spoken = new Set((await allRecords()).flatMap((record) => record.pictures.map(({ id }) => id)));
  const ids = await within("pictures", "readonly", (store) => store.getAllKeys()).catch(() => []);
  for (const id of ids) if (!spoken.has(id) && Number(id.split("-")[0]) < Date.now() - afterMs) await dropPicture(id);
}

/** An id for a picture, which says when it was chosen. */
export function newPictureId() {
  return `${Date.now()}-${newKey()}`;
}

/** A key nobody else has: `crypto.randomUUID` is missing on a plain home network. */
export function newKey() {
  return Array.from(crypto.getRandomValues(new Uint8Array(12)), (n) => n.toString(16).padStart(2, "0")).join("");
}
