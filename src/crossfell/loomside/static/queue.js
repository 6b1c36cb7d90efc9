// Ticks are kept on this device before they are shown as done, and sent until the server has them.
// An id that is made here lets the server keep each one once, however often it arrives.

const SHELF = "crossfell-loom:" + new URL(".", location.href).pathname;
const SESSION = newId();

export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

function read(name, otherwise) {
  const text = localStorage.getItem(`${SHELF}${name}`);
  if (text === null) return otherwise;
  try {
    return JSON.parse(text);
  } catch {
    return otherwise;
  }
}

function write(name, value) {
  localStorage.setItem(`${SHELF}${name}`, JSON.stringify(value));
}

export const device = read("device", null) ?? keep("device", newId());

export function keep(name, value) {
  write(name, value);
  return value;
}

export function kept(name, otherwise) {
  return read(name, otherwise);
}

// Each event has a place of its own on the shelf: two pages of this device lose nothing of each other.
const WAITING = `${SHELF}event:`;

export function waiting() {
  const events = [];
  for (let i = 0; i < localStorage.length; i += 1) {
    const name = localStorage.key(i);
    if (name.startsWith(WAITING)) events.push(read(name.slice(SHELF.length), null));
  }
  return events.filter(Boolean).sort((one, other) => one.turn - other.turn || one.wall - other.wall);
}

// Throws when this device cannot keep it: then it is not done.
export function add(kind, { key = "", draft = "", says = {} } = {}) {
  const event = {
    id: newId(), kind, key, draft, says, turn: (waiting().at(-1)?.turn ?? 0) + 1,
    session: SESSION, run: performance.now(), wall: Date.now(),
  };
  write(`event:${event.id}`, event);
  return event;
}

export function drop(ids) {
  for (const id of ids) localStorage.removeItem(`${WAITING}${id}`);
}

// How long ago it was: by the clock that nobody sets while this page is open, else by the wall's.
function age(event) {
  const ms = event.session === SESSION ? performance.now() - event.run : Date.now() - event.wall;
  return Math.max(0, Math.round(ms));
}

let sending = null;

// Resolves to the server's state when all that waits is saved, to null when the server is not
// there; throws NotTaken when it answered and did not take them.
export function send() {
  sending ??= sendNow().finally(() => { sending = null; });
  return sending;
}

export class NotTaken extends Error {
  constructor(code, says) {
    super(says);
    this.code = code;
  }
}

async function sendNow() {
  let state = null;
  for (;;) {
    const events = waiting().slice(0, 500);
    if (!events.length) return state ?? ask("state");
    const body = JSON.stringify({
      device,
      events: events.map(({ id, kind, key, draft, says, ...rest }) =>
        ({ id, kind, key, draft, says, age_ms: age(rest) })),
    });
    const answer = await fetchSoon("events", {
      method: "POST", body, headers: { "content-type": "application/json" },
    });
    if (answer === null) return null;
    if (!answer.ok) throw new NotTaken(answer.status, await answer.text());
    const told = await answer.json();
    drop([...told.saved, ...Object.keys(told.refused)]);
    state = told.state;
    const [why] = Object.values(told.refused);
    if (why) throw new NotTaken(400, why);
  }
}

// JSON from the server, or null when it is not there.
export async function ask(what, ms) {
  const answer = await fetchSoon(what, {}, ms);
  if (answer === null || !answer.ok) return null;
  return answer.json();
}

export async function fetchSoon(what, how, ms = 4000) {
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), ms);
  try {
    return await fetch(what, { ...how, signal: stop.signal });
  } catch {
    return null;
  } finally {
    clearTimeout(timer);
  }
}

// Where she is: what the server knows, and what waits here to be sent.
export function position(state, steps) {
  const done = new Set();
  const order = [];
  for (let i = 0; i < state.at; i += 1) {
    done.add(steps[i].key);
    order.push(steps[i].key);
  }
  for (const event of waiting()) {
    if (event.kind === "tick" && !done.has(event.key)) {
      done.add(event.key);
      order.push(event.key);
    } else if (event.kind === "back" && order.at(-1) === event.key) {
      done.delete(order.pop());
    }
  }
  let at = -1;
  steps.forEach((step, i) => { if (done.has(step.key)) at = i; });
  return { at: at + 1, last: order.at(-1) ?? "" };
}
