// She shows how the strips lie; the answer says where it went wrong, and both ways on.

const $ = (id) => document.getElementById(id);
let row = [];
let pairs = [];
let picked = null;

async function load(span) {
  const answer = await fetch(`lying.json${span ? `?span=${span}` : ""}`);
  if (!answer.ok) {
    $("says").textContent = await answer.text();
    return;
  }
  const lying = await answer.json();
  row = lying.row;
  pairs = lying.crossings.map((pair) => ({ ...pair, other: false }));
  $("span").value = lying.span;
  picked = null;
  clear();
  draw();
}

function clear() {
  $("says").textContent = "";
  $("back").hidden = true;
  $("keep").hidden = true;
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
  $("pairs").replaceChildren(...pairs.map((pair) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = `${pair.over} ${pair.other ? "UNDER" : "over"} ${pair.under}`;
    button.setAttribute("aria-pressed", String(pair.other));
    button.addEventListener("click", () => { pair.other = !pair.other; clear(); draw(); });
    return button;
  }));
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
  return JSON.stringify({
    span: Number($("span").value),
    row: row.map((unit) => (unit ? unit.name + (unit.face < 0 ? "′" : "") : "-")),
    other_way: pairs.filter((pair) => pair.other).map((pair) => [pair.over, pair.under]),
  });
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

async function ask() {
  clear();
  const answer = await fetch("mistake", { method: "POST", body: shown() });
  if (!answer.ok) {
    $("says").textContent = await answer.text();
    return;
  }
  const told = await answer.json();
  $("says").textContent = told.says;
  if (told.back) {
    const bands = told.back.bands.length ? `, bands cut out: ${told.back.bands.join(", ")}` : "";
    fill("back", `${cost(told.back.minutes)}, ${told.back.strips} strips in the hand${bands}`,
      told.back.lines, told.back.pictures);
  }
  if (told.keep) {
    const more = Math.round(told.keep.minutes)
      ? `${cost(told.keep.minutes)} ${told.keep.minutes > 0 ? "more" : "less"} than planned` : "no more work";
    const moves = told.keep.moves.length
      ? [`Span ${told.keep.span} then begins with: ${told.keep.moves.join(", ")}`]
      : ["Nothing to come changes; it stays as it lies."];
    fill("keep", more, moves, told.keep.pictures);
  } else if (told.not_kept) {
    $("says").textContent += ` It cannot be kept as it is: ${told.not_kept}.`;
  }
}

async function adopt() {
  const answer = await fetch("keep", { method: "POST", body: shown() });
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
$("ask").addEventListener("click", ask);
$("adopt").addEventListener("click", adopt);
load("");
