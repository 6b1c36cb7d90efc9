// Puts a step on the screen: words as large as they fit, and its picture.

const $ = (id) => document.getElementById(id);
const LEAST = 55;
const LARGEST = 150;
const drawn = new Map();
const AHEAD = 12;

export function text(id, words) {
  if ($(id).textContent !== words) $(id).textContent = words;
}

function paragraphs(lines) {
  $("lines").replaceChildren(...lines.map((line) => {
    const p = document.createElement("p");
    p.textContent = line;
    return p;
  }));
}

function marks(sheds) {
  $("marks").replaceChildren(...sheds.map((shed) => {
    const li = document.createElement("li");
    li.className = shed;
    li.textContent = (shed === "up" ? "▲ " : "▼ ") + shed.toUpperCase();
    return li;
  }));
}

// Upright screens get shorter rows of names.
function pictureName(draft, screen) {
  const row = innerWidth < innerHeight ? 7 : 16;
  return `picture/${draft}/${screen.number}-${screen.behind ? "back" : "front"}.svg?row=${row}`;
}

// "9-12" stays on one line.
function whole(words) {
  return words.replace(/(\d)-(\d)/g, "$1\u2060-\u2060$2");
}

async function fetchPicture(name) {
  if (!drawn.has(name)) {
    try {
      const answer = await fetch(name);
      if (!answer.ok) return null;
      drawn.set(name, await answer.text());
    } catch {
      return null;
    }
  }
  return drawn.get(name);
}

const BARE = { cross: "", lines: [], marks: [], row: "", caution: "", spoken: "", behind: false };

// A step as it is said for where she stands, or as it looks from the other side.
export function screenOf(step, other) {
  return { ...BARE, ...step.own, ...(other ? step.other : {}) };
}

export async function show(plan, at, other) {
  const step = plan.steps[at];
  const screen = screenOf(step, other);
  document.body.classList.toggle("behind", screen.behind);
  document.body.classList.toggle("other", other);
  text("side", screen.side);
  text("count", screen.count);
  text("do", screen.do);
  text("cross", whole(screen.cross));
  text("caution", screen.caution);
  paragraphs(screen.lines);
  marks(screen.marks);
  const name = pictureName(plan.draft, screen);
  const svg = step.drawn ? await fetchPicture(name) : null;
  draw(svg, screen.row);
  fit();
}

function draw(svg, row) {
  const place = $("picture");
  const main = $("step");
  const tree = svg && new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  if (!tree || tree.nodeName !== "svg") {
    place.replaceChildren();
    if (row && !tree) paragraphs([...$("lines").children].map((p) => p.textContent).concat(row));
    main.className = "alone";
    return;
  }
  const [, , wide, high] = tree.getAttribute("viewBox").split(" ").map(Number);
  tree.removeAttribute("width");
  tree.removeAttribute("height");
  place.replaceChildren(document.importNode(tree, true));
  main.className = wide / high > 1.65 ? "below" : "beside";
}

// The largest letters at which all the words fit, down to what can be read at 1.5 m.
export function fit() {
  const main = $("step");
  const words = $("words");
  const beside = main.className === "beside" && innerWidth > innerHeight;
  const share = main.className === "alone" || beside ? 1 : 0.55;
  const room = main.clientHeight * share - 12;
  const small = innerWidth < 700 ? 26 : LEAST;
  let size = LARGEST;
  for (; size > small; size -= 4) {
    main.style.setProperty("--size", size);
    main.style.setProperty("--small", Math.max(small, Math.min(64, size * 0.6)));
    if (words.scrollHeight <= room && widest(words) <= words.clientWidth + 1) break;
  }
}

function widest(words) {
  return Math.max(...[...words.children].map((child) => child.scrollWidth));
}

// Pictures of the next steps are fetched before they are needed: the network may be gone by then.
export async function fetchAhead(plan, at) {
  for (const step of plan.steps.slice(at, at + AHEAD)) {
    if (step.drawn) await fetchPicture(pictureName(plan.draft, screenOf(step, false)));
  }
}

export function showEnd(title) {
  document.body.classList.remove("behind", "other");
  text("side", title);
  text("count", "");
  text("do", "THE PIECE IS DONE");
  text("cross", "");
  text("caution", "");
  paragraphs([]);
  marks([]);
  draw(null, "");
  fit();
}
