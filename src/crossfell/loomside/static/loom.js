// Leads through the plan: one step on the screen; a key, a pedal, a tap or a word says it is done.

import * as queue from "./queue.js";
import * as voice from "./voice.js";
import { fetchAhead, fit, screenOf, show, showEnd, text } from "./show.js";

const $ = (id) => document.getElementById(id);
const TWICE_MS = 350; // a second key so soon is a foot that trembled
const POLL_MS = 2000;
const DONE = new Set([" ", "Enter", "PageDown", "ArrowRight", "d", "D"]);
const BACK = new Set(["Backspace", "PageUp", "ArrowLeft", "b", "B"]);

let plan = null;
let state = null;
let here = { at: 0, last: "" };
let other = false;
let paused = false;
let sure = false;
let dryAt = 0;
let lastKey = -Infinity;
let busy = false;
let away = false;
let shown = "";

async function begin() {
  plan = (await queue.ask("steps", 30000)) ?? queue.kept("steps", null);
  state = (await queue.ask("state")) ?? queue.kept("state", null);
  if (!plan || !state) {
    text("do", "The loom's computer is not there");
    text("side", "WAITING");
    setTimeout(begin, POLL_MS);
    return;
  }
  rememberPlan();
  remember();
  queue.add("start");
  await deliver();
  setInterval(deliver, POLL_MS);
  setInterval(tellWaiting, 1000);
}

function remember() {
  try {
    queue.keep("state", state);
  } catch {
    // This device has no room: what is known lives in this page only.
  }
}

function rememberPlan() {
  try {
    queue.keep("steps", plan);
  } catch {
    // This device has no room for the plan: it lives in this page, and in the worker's shelf.
  }
}

// Send what waits, learn what others did, and show where she is.
async function deliver() {
  let trouble = "";
  let told = null;
  try {
    told = await queue.send();
  } catch (problem) {
    if (!(problem instanceof queue.NotTaken)) throw problem;
    trouble = `NOT SAVED: ${problem.message}`;
  }
  if (told) await take(told);
  online(told !== null);
  if (trouble) text("trouble", trouble);
  await refresh();
}

async function take(told) {
  if (told.draft !== plan.draft) {
    const fresh = await queue.ask("steps", 30000);
    if (!fresh || fresh.draft !== told.draft) return;
    plan = fresh;
    shown = "";
    rememberPlan();
  }
  const moved = told.revision !== state.revision;
  state = told;
  dryAt = told.wet_ms ? performance.now() + told.wet_ms : 0;
  if (moved) remember();
}

function online(yes) {
  away = !yes;
  const left = queue.waiting().filter((event) => event.kind === "tick").length;
  const steps = left === 1 ? "1 step" : `${left} steps`;
  text("sent", yes ? "" : `Kept on this device; ${steps} to send when the computer is back`);
}

async function refresh() {
  here = queue.position(state, plan.steps);
  text("left", state.left);
  text("stop", state.stop);
  if (state.doubt) text("trouble", state.doubt);
  const name = `${plan.draft}/${here.at}/${other}`;
  if (name === shown) return;
  const first = !shown.startsWith(`${plan.draft}/${here.at}/`);
  shown = name;
  if (here.at >= plan.steps.length) {
    showEnd(plan.title);
    if (first) voice.say("The piece is done.");
    return;
  }
  if (first) sure = false;
  $("look").hidden = plan.steps[here.at].own.do !== "LOOK";
  if (first) text("trouble", state.doubt);
  tellWaiting();
  if (first) voice.say(screenOf(plan.steps[here.at], false).spoken);
  await show(plan, here.at, other);
  fetchAhead(plan, here.at + 1);
}

function tellWaiting() {
  const left = here.at === state.at ? dryAt - performance.now() : 0;
  if (left <= 0) {
    text("wait", "");
    return;
  }
  const minutes = Math.ceil(left / 60000);
  const hours = Math.floor(minutes / 60);
  const long = hours ? `${hours} h ${minutes % 60} min` : `${minutes} min`;
  const until = new Date(Date.now() + left);
  const clock = until.toLocaleTimeString([], { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
  text("wait", `WET until ${clock}: ${long}`);
}

// A server that does not answer at once is waited for no longer: what is to be kept is kept here.
function later(ms) {
  return new Promise((go) => { setTimeout(() => go(null), ms); });
}

// Keep an event on this device, then try to send it. What was refused is not done.
async function tell(kind, key, says = {}) {
  let event;
  try {
    event = queue.add(kind, { key, draft: plan.draft, says });
  } catch (problem) {
    text("trouble", `NOT SAVED: this device has no room (${problem.message})`);
    return false;
  }
  try {
    const sending = queue.send();
    const told = await Promise.race([sending, later(away ? 150 : 1200)]);
    sending.catch(() => {}); // what is refused later, the next delivery says
    if (told) await take(told);
    online(told !== null);
    text("trouble", "");
    return true;
  } catch (problem) {
    if (!(problem instanceof queue.NotTaken)) throw problem;
    queue.drop([event.id]);
    text("trouble", `NOT SAVED, and not done: ${problem.message}`);
    fit();
    return false;
  }
}

async function act(what) {
  const now = performance.now();
  if (!plan || busy || now - lastKey < TWICE_MS) return;
  lastKey = now;
  busy = true;
  try {
    await what();
    other = false;
    await refresh();
  } finally {
    busy = false;
  }
}

async function done() {
  if (paused) {
    await goOn();
    return;
  }
  const step = plan.steps[here.at];
  if (!step) return;
  if ($("wait").textContent && !sure) {
    sure = true;
    text("trouble", "Still drying. Once more if it is dry already.");
    fit();
    return;
  }
  await tell("tick", step.key);
}

async function back() {
  if (here.last) await tell("back", here.last);
}

async function pause() {
  if (paused) {
    await goOn();
    return;
  }
  paused = true;
  document.body.classList.add("paused");
  text("pause", "Go on");
  voice.hush();
  await tell("pause", "");
}

async function goOn() {
  paused = false;
  document.body.classList.remove("paused");
  text("pause", "Pause");
  await tell("start", "");
}

function again() {
  const step = plan?.steps[here.at];
  if (step) voice.say(screenOf(step, other).spoken);
}

async function turnRound() {
  other = !other;
  await refresh();
}

// ---- notes ------------------------------------------------------------------------------------

const NAMED = { join: "Unit", "broken-end": "Unit", weight: "Unit", lot: "Yarn" };
const WORDED = { weight: "Mass in grams", lot: "Lot", drying: "Minutes" };

function noteKind() {
  const kind = $("note-kind").value;
  $("note-name-label").hidden = !NAMED[kind];
  $("note-name-label").firstElementChild.textContent = NAMED[kind] ?? "";
  $("note-text-label").firstElementChild.textContent = WORDED[kind] ?? "Words";
}

async function noted() {
  if ($("note-box").returnValue !== "keep") return;
  const kind = $("note-kind").value;
  const words = $("note-text").value.trim();
  const name = $("note-name").value.trim();
  const says = {
    note: { text: words }, join: { unit: name, text: words },
    "broken-end": { unit: name, text: words }, weight: { unit: name, mass_g: Number(words) },
    lot: { yarn: name, lot: words }, drying: { minutes: Number(words) },
  }[kind];
  const [photo] = $("note-photo").files;
  const key = plan.steps[here.at]?.key ?? "";
  if (words || name) await tell(kind, key, says);
  if (photo) await keepPhoto(photo);
  for (const id of ["note-text", "note-name", "note-photo"]) $(id).value = "";
}

async function keepPhoto(photo) {
  const answer = await queue.fetchSoon("photo", { method: "POST", body: photo }, 30000);
  if (answer === null) text("trouble", "The photograph was not kept: the computer is not there");
  else if (!answer.ok) text("trouble", `The photograph was not kept: ${await answer.text()}`);
}

// A photograph of the batten, compared with how it must lie; only at a step that looks.
async function look() {
  const [photo] = $("look-photo").files;
  if (!photo) return;
  text("trouble", "Reading the labels …");
  const answer = await queue.fetchSoon("look", { method: "POST", body: photo }, 60000);
  $("look-photo").value = "";
  if (answer === null) text("trouble", "The computer is not there: look yourself");
  else if (!answer.ok) text("trouble", await answer.text());
  else {
    const told = await answer.json();
    text("trouble", told.text);
    voice.say(told.head);
  }
  fit();
}

// ---- voice, screen ----------------------------------------------------------------------------

function setUp() {
  const list = voice.voices();
  const own = new Option("the browser's own", "");
  $("voice").replaceChildren(own, ...list.map((one) => new Option(one.name, one.voiceURI)));
  $("voice").value = voice.wishes.voice;
  $("speak").checked = voice.wishes.speak;
  $("rate").value = voice.wishes.rate;
  $("listen").checked = voice.wishes.listen;
  $("listen-label").hidden = !voice.canListen;
  if (!voice.canSpeak()) $("voice").replaceChildren(new Option("no voice in this browser", ""));
  $("setup-box").showModal();
}

function heard(word) {
  if (word === "done") act(done);
  else if (word === "back") act(back);
  else again();
}

let lock = null;

async function stayAwake() {
  if (!navigator.wakeLock) {
    text("awake", "This browser cannot keep the screen on: set the screen's time-out long.");
    return;
  }
  try {
    lock = await navigator.wakeLock.request("screen");
    text("awake", "The screen stays on.");
  } catch {
    text("awake", "The screen may go dark: set its time-out long.");
  }
}

// ---- keys, taps -------------------------------------------------------------------------------

addEventListener("keydown", (event) => {
  if (document.querySelector("dialog[open]") || event.ctrlKey || event.metaKey || event.altKey) return;
  const onButton = event.target instanceof HTMLButtonElement;
  if (onButton && (event.key === " " || event.key === "Enter")) return;
  const does = DONE.has(event.key) ? () => act(done)
    : BACK.has(event.key) ? () => act(back)
    : { r: again, f: turnRound, p: () => act(pause), n: () => $("note-box").showModal() }[event.key];
  if (!does) return;
  event.preventDefault();
  if (!event.repeat) does();
});

$("step").addEventListener("click", () => act(done));
const BUTTONS = {
  done: () => act(done), back: () => act(back), pause: () => act(pause),
  look: () => $("look-photo").click(), again, other: turnRound, setup: setUp, note: () => $("note-box").showModal(),
};
for (const [id, does] of Object.entries(BUTTONS)) {
  $(id).addEventListener("click", () => { does(); $(id).blur(); });
}
$("look-photo").addEventListener("change", look);
$("note-kind").addEventListener("change", noteKind);
$("note-box").addEventListener("close", noted);
$("speak").addEventListener("change", () => voice.wish("speak", $("speak").checked));
$("rate").addEventListener("input", () => voice.wish("rate", Number($("rate").value)));
$("voice").addEventListener("change", () => { voice.wish("voice", $("voice").value); again(); });
$("listen").addEventListener("change", () => {
  voice.wish("listen", $("listen").checked);
  voice.listen(voice.wishes.listen, heard);
});
addEventListener("resize", fit);
addEventListener("online", () => plan && deliver());
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState !== "visible") return;
  stayAwake();
  if (plan) deliver();
});

stayAwake();
if (navigator.serviceWorker && isSecureContext) navigator.serviceWorker.register("worker.js");
if (voice.wishes.listen) voice.listen(true, heard);
document.fonts.ready.then(() => plan && fit());
begin();
