// Outbox: what a person enters is on this phone's disk before the page says so, and leaves only when the
// server names its id. One row per entry, nothing expires, and rows leave in the order they were made.
// On plain http there is no service worker and no crypto.randomUUID; everything here works without them.

const NAME = "firstbounce";
const VERSION = 1;
const FORMAT = 1; // of a row; newer servers accept older rows
const BATCH = 100; // rows sent at once
const FIRST_WAIT_MS = 2000;
const LONGEST_WAIT_MS = 8000;
const ANSWER_MS = 20000;

const listeners = new Set();
const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("firstbounce-outbox") : null;
const state = { waiting: 0, refused: 0, online: true, trouble: "", signIn: false };
let opened = null;
let running = null;
let pending = false; // something was added while a pass was under way
let wait = FIRST_WAIT_MS;
let timer = 0;

/** 32 hex digits from the device's own source of chance. */
export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

function open() {
  opened ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => {
      const db = request.result;
      db.createObjectStore("outbox", { keyPath: "id" }).createIndex("seq", "seq", { unique: true });
      db.createObjectStore("kept");
    };
    request.onsuccess = () => {
      request.result.onversionchange = () => { request.result.close(); opened = null; };
      resolve(request.result);
    };
    request.onerror = () => { opened = null; reject(request.error); };
  });
  return opened;
}

/** Run `work(store...)` in one strict transaction; resolves with its answer once it is on disk. */
async function transact(stores, mode, work) {
  const db = await open();
  return new Promise((resolve, reject) => {
    const transaction = db.transaction(stores, mode, { durability: "strict" });
    let answer;
    transaction.oncomplete = () => resolve(answer);
    transaction.onabort = () => reject(transaction.error ?? new Error("not saved"));
    work(stores.map((name) => transaction.objectStore(name)), (value) => { answer = value; });
  });
}

/** Put one entry into the outbox. Resolves with its row when it is on disk; rejects when it is not. */
export function add(kind, body, id = newId()) {
  return put(id, kind, (_, ready) => ready(body));
}

/**
 * An entry made from a value that is kept on this phone, and the value as it is after it: both on disk, or neither.
 * `work(value, id)` gives `{ body, value }`.
 */
export function addWith(kind, key, work, id = newId()) {
  return put(id, kind, (kept, ready) => {
    const request = kept.get(key);
    request.onsuccess = () => {
      const { body, value } = work(request.result, id);
      kept.put(value, key);
      ready(body);
    };
  });
}

async function put(id, kind, make) {
  const now = new Date();
  const row = { id, v: FORMAT, kind, made_at: now.toISOString(), offset_min: -now.getTimezoneOffset() };
  try {
    await transact(["outbox", "kept"], "readwrite", ([outbox, kept]) => {
      const request = kept.get("device");
      request.onsuccess = () => {
        const device = request.result ?? { id: newId(), seq: 0 };
        device.seq += 1;
        row.device = device.id;
        row.seq = device.seq;
        kept.put(device, "device");
        make(kept, (body) => { row.body = body; outbox.add(row); });
      };
    });
  } catch (error) {
    throw new Error(
      error?.name === "QuotaExceededError"
        ? "This phone's storage is full: this entry is not saved. Free some space, or save the waiting entries as a file."
        : `This entry is not saved: ${error?.message ?? error}.`,
    );
  }
  await changed();
  flush();
  return row;
}

/** Every row that waits, in the order they were made. */
export function rows() {
  return transact(["outbox"], "readonly", ([outbox], answer) => {
    const request = outbox.index("seq").getAll();
    request.onsuccess = () => answer(request.result);
  });
}

/** What became of an entry: "sent", "waiting", or the reason why it was not taken. */
export async function outcome(id) {
  await flush();
  const row = (await rows()).find((one) => one.id === id);
  if (!row) return { sent: true };
  return row.refused && !row.again ? { refused: row.refused } : { waiting: true };
}

/** Forget an entry that was not taken: its form is still open and will make another. */
export async function drop(id) {
  await transact(["outbox"], "readwrite", ([outbox]) => { outbox.delete(id); });
  await changed();
}

/** Keep a value on this phone under a key (tables, sessions): not sent anywhere. */
export function keep(key, value) {
  return transact(["kept"], "readwrite", ([kept]) => { kept.put(value, key); });
}

/** Change a kept value in one transaction, so that two tabs lose nothing; resolves with the new value. */
export function change(key, work) {
  return transact(["kept"], "readwrite", ([store], answer) => {
    const request = store.get(key);
    request.onsuccess = () => {
      const value = work(request.result);
      store.put(value, key);
      answer(value);
    };
  });
}

/** The value kept under a key, or undefined. */
export function kept(key) {
  return transact(["kept"], "readonly", ([store], answer) => {
    const request = store.get(key);
    request.onsuccess = () => answer(request.result);
  });
}

/** Values kept under keys that start so, by key. */
export function keptUnder(prefix) {
  return transact(["kept"], "readonly", ([store], answer) => {
    const range = IDBKeyRange.bound(prefix, `${prefix}\uffff`);
    const keys = store.getAllKeys(range);
    const values = store.getAll(range);
    values.onsuccess = () => answer(new Map(keys.result.map((key, k) => [key, values.result[k]])));
  });
}

/** Forget what this phone kept of players and places; entries that wait, and who this device is, stay. */
export function forget() {
  return transact(["kept"], "readwrite", ([store]) => {
    const keys = store.getAllKeys();
    keys.onsuccess = () => { for (const key of keys.result) if (key !== "device") store.delete(key); };
  });
}

/** Be told of every change: `listener({waiting, refused, online, trouble, signIn})`. */
export function listen(listener) {
  listeners.add(listener);
  listener({ ...state });
}

async function changed(told = true) {
  const all = await rows();
  state.refused = all.filter((row) => row.refused && !row.again).length;
  state.waiting = all.length - state.refused;
  if (!state.waiting) state.signIn = false; // another tab has signed in and sent them
  for (const listener of listeners) listener({ ...state });
  if (told) channel?.postMessage("changed");
}

async function send(batch) {
  const answer = await fetch("/api/outbox", {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ v: FORMAT, rows: batch }),
    signal: "timeout" in AbortSignal ? AbortSignal.timeout(ANSWER_MS) : undefined,
  });
  state.signIn = answer.status === 401;
  if (!answer.ok) throw new Error(`the server answered ${answer.status}`);
  return answer.json();
}

/** Forget what the server named; note its reason beside what it did not take. */
function settle(stored, refused) {
  return transact(["outbox"], "readwrite", ([outbox]) => {
    for (const id of stored) outbox.delete(id);
    for (const { id, error, again } of refused) {
      const request = outbox.get(id);
      request.onsuccess = () => {
        if (request.result) outbox.put({ ...request.result, refused: error, again });
      };
    }
  });
}

const bare = ({ refused: _, again: __, ...row }) => row;

/** Send every row that is due, each once, in order; true when the server named all of them. */
async function pass(all) {
  let last = 0;
  let whole = true;
  for (;;) {
    const due = (await rows()).filter((row) => row.seq > last && (all || !row.refused || row.again));
    const batch = due.slice(0, BATCH);
    if (!batch.length) return whole;
    last = batch.at(-1).seq;
    const { stored = [], refused = [] } = await send(batch.map(bare));
    await settle(stored, refused);
    whole &&= batch.every((row) => stored.includes(row.id));
    await changed();
  }
}

/** Send what waits. Safe to call at any time and from any number of tabs: the server keeps each id once. */
export async function flush({ all = false } = {}) {
  if (running) { pending = true; return running; }
  running = work(all);
  try {
    await running;
  } finally {
    running = null;
  }
}

async function work(all) {
  clearTimeout(timer);
  try {
    do {
      pending = false;
      const whole = await pass(all);
      wait = whole ? FIRST_WAIT_MS : Math.min(2 * wait, LONGEST_WAIT_MS);
    } while (pending);
    state.online = true;
    state.trouble = "";
  } catch (error) {
    state.online = false;
    state.trouble = String(error?.message ?? error);
    wait = Math.min(2 * wait, LONGEST_WAIT_MS);
  } finally {
    await changed(false).catch(() => {});
    if (state.waiting) timer = setTimeout(flush, wait);
  }
}

/** Everything that waits, as a file that the laptop can take in: same ids, taken once. */
export async function waitingFile() {
  const all = (await rows()).map(bare);
  return new Blob([JSON.stringify({ v: FORMAT, rows: all }, null, 1)], { type: "application/json" });
}

/** Start: count, send, and keep trying when the network or the page comes back. */
export function start() {
  navigator.storage?.persist?.().catch(() => {});
  channel?.addEventListener("message", async () => {
    await changed(false);
    if (!state.online) flush(); // another tab has come through
  });
  addEventListener("online", () => { wait = FIRST_WAIT_MS; flush(); });
  document.addEventListener("visibilitychange", () => { if (!document.hidden) flush(); });
  changed(false).then(() => flush());
}
