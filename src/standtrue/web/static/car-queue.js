// Everything typed is kept on this device at once, and sent once when the shop's machine can be reached.

const NAME = "standtrue-car", STORE = "entries";

function open() {
  return new Promise((done, failed) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(STORE, { keyPath: "key" });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = () => failed(asked.error);
  });
}

async function within(mode, work) {
  const base = await open();
  try {
    return await new Promise((done, failed) => {
      const turn = base.transaction(STORE, mode, { durability: "strict" });
      const asked = work(turn.objectStore(STORE));
      turn.oncomplete = () => done(asked === undefined ? undefined : asked.result);
      turn.onerror = turn.onabort = () => failed(turn.error);
    });
  } finally {
    base.close();
  }
}

export function newKey() {
  const parts = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(parts, (part) => part.toString(16).padStart(2, "0")).join("");
}

export function put(entry) {
  return within("readwrite", (store) => store.put(entry));
}

export async function kept(address) {
  const every = await within("readonly", (store) => store.getAll());
  return every.filter((one) => one.address === address).sort((a, b) => a.at - b.at);
}

async function gone(keys) {
  await within("readwrite", (store) => { for (const key of keys) store.delete(key); });
}

let sending = Promise.resolve();

// Send what is kept and is `mine`: "sent" (with the state's token), "nothing", "off" (no network or no server), "refused".
export function flush(address, mine) {
  sending = sending.catch(() => {}).then(() => send(address, mine));
  return sending;
}

async function send(address, mine) {
  const waiting = (await kept(address)).filter((one) => !one.refused && mine(one));
  if (!waiting.length) return { how: "nothing" };
  const entries = waiting.map(({ address: _, refused: __, ...entry }) => entry);
  let answer;
  try {
    const response = await fetch(`${address}/kept`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ now: Date.now(), entries }),
    });
    if (!response.ok) return { how: response.status >= 500 ? "off" : "refused" };
    answer = await response.json();
  } catch {
    return { how: "off" };
  }
  await gone(answer.kept);
  for (const one of waiting) if (answer.refused.includes(one.key)) await put({ ...one, refused: true });
  return { how: "sent", token: answer.token };
}
