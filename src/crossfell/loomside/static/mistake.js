// She shows how the strips lie; the answer says where it went wrong, and both ways on.

const $ = (id) => document.getElementById(id);
let row = [];
let pairs = [];
let turns = [];
let picked = null;
let said = {};

async function load(span) {
  const answer = await fetch(`lying.json${span ? `?span=${span}` : ""}`);
  if (!answer.ok) {
    $("says").textContent = await answer.text();
    return;
  }
  const lying = await answer.json();
  row = lying.row;
  pairs = lying.crossings.map((pair) => ({ ...pair, other: false }));
  turns = lying.turned.map((turn) => ({ ...turn, other: false }));
  $("span").value = lying.span;
  options("band", lying.bands);
  options("one", lying.units);
  options("other", lying.units);
  $("other").selectedIndex = lying.units.length > 1 ? 1 : 0;
  $("leaving").hidden = !lying.on_a_way;
  picked = null;
  clear();
  draw();
}

function options(id, names) {
  $(id).replaceChildren(...names.map((name) => new Option(name, name)));
}

function clear() {
  $("says").textContent = "";
  for (const id of ["back", "keep", "live"]) $(id).hidden = true;
}

function draw() {
  $("row").replaceChildren(...row.map((unit, i) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = unit ? unit.name : "·";
    button.classList.toggle("turned", Boolean(unit && unit.face < 0));
    button.setAttribute("aria-pressed", String(picked === i));
    const place = document.createElement("small");
    place.textContent = String(i + 1);
    button.append(place);
    button.addEventListener("click", () => pick(i));
    return button;
  }));
  $("pairs").replaceChildren(...pairs.map((pair) =>
    switched(pair, `${pair.over} ${pair.other ? "UNDER" : "over"} ${pair.under}`)));
  $("turns").hidden = !turns.length;
  $("turns").replaceChildren(...turns.map((turn) =>
    switched(turn, `${turn.name} turned ${turn.other ? opposite(turn.way).toUpperCase() : turn.way}`)));
}

function opposite(way) {
  return way === "right" ? "left" : "right";
}

// A button that turns what it stands for the other way, and back.
function switched(what, words) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = words;
  button.setAttribute("aria-pressed", String(what.other));
  button.addEventListener("click", () => { what.other = !what.other; clear(); draw(); });
  return button;
}

function pick(i) {
  if (picked === null) {
    picked = i;
  } else {
    [row[picked], row[i]] = [row[i], row[picked]];
    picked = null;
    clear();
  }
  draw();
}

function shown() {
  return {
    span: Number($("span").value),
    row: row.map((unit) => (unit ? unit.name + (unit.face < 0 ? "′" : "") : "-")).join(" "),
    other_way: pairs.filter((pair) => pair.other).map((pair) => `${pair.over} ${pair.under}`).join(","),
    turned: turns.filter((turn) => turn.other).map((turn) => turn.name).join(" "),
  };
}

function band() {
  const number = { band: Number($("band").value) };
  return $("woven").value === "rod" ? number : { ...number, picks: Number($("picks").value) };
}

function fill(id, cost, lines, pictures) {
  const box = $(id);
  box.hidden = false;
  box.querySelector(".cost").textContent = cost;
  box.querySelector("ol").replaceChildren(...lines.map((line) => {
    const li = document.createElement("li");
    li.textContent = line;
    return li;
  }));
  box.querySelectorAll("img").forEach((old) => { URL.revokeObjectURL(old.src); old.remove(); });
  for (const { svg, says } of pictures) {
    const img = document.createElement("img");
    img.alt = says;
    img.src = URL.createObjectURL(new Blob([svg], { type: "image/svg+xml" }));
    box.append(img);
  }
}

function cost(minutes) {
  return `${Math.max(1, Math.round(Math.abs(minutes)))} min`;
}

async function send(where, what) {
  return fetch(where, { method: "POST", body: JSON.stringify(what) });
}

async function ask(what) {
  clear();
  said = what;
  const answer = await send("mistake", said);
  if (!answer.ok) {
    $("says").textContent = await answer.text();
    return;
  }
  const told = await answer.json();
  $("says").textContent = told.says;
  if (told.back) {
    const bands = told.back.bands.length ? `, bands cut out: ${told.back.bands.join(", ")}` : "";
    const first = told.back.go_on_to ? `. First go on to step ${told.back.go_on_to}, as planned` : "";
    fill("back", `${cost(told.back.minutes)}, ${told.back.strips} strips in the hand${bands}${first}`,
      told.back.lines, told.back.pictures);
  } else if (told.no_back) {
    $("says").textContent += ` No way back is given: ${told.no_back}.`;
  }
  if (told.keep) {
    const moves = told.keep.moves.length
      ? [`Span ${told.keep.span} then begins with: ${told.keep.moves.join(", ")}`]
      : ["Nothing to come changes; it stays as it lies."];
    fill("keep", more(told.keep.minutes), moves, told.keep.pictures);
  } else if (told.not_kept) {
    $("says").textContent += ` It cannot be kept as it is: ${told.not_kept}.`;
  }
  if (told.live) fill("live", more(told.live.minutes), [told.live.says], []);
}

function more(minutes) {
  if (!Math.round(minutes)) return "no more work";
  return `${cost(minutes)} ${minutes > 0 ? "more" : "less"} than planned`;
}

async function choose(where, what) {
  const answer = await send(where, what);
  if (answer.ok) location.href = "./";
  else $("says").textContent = await answer.text();
}

$("turn").addEventListener("click", () => {
  if (picked === null || !row[picked]) return;
  row[picked] = { ...row[picked], face: -row[picked].face };
  picked = null;
  clear();
  draw();
});
$("empty").addEventListener("click", () => {
  if (picked === null) return;
  row[picked] = null;
  picked = null;
  clear();
  draw();
});
$("span").addEventListener("change", () => load($("span").value));
$("woven").addEventListener("change", () => { $("picks").hidden = $("woven").value === "rod"; });
$("ask").addEventListener("click", () => ask(shown()));
$("ask-band").addEventListener("click", () => ask(band()));
$("ask-weights").addEventListener("click", () => ask({ weights: `${$("one").value} ${$("other").value}` }));
$("adopt").addEventListener("click", () => choose("keep", said));
$("walk").addEventListener("click", () => choose("walk", said));
$("leave").addEventListener("click", () => choose("walk", { leave: true }));
load("");
