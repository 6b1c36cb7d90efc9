// Shows hours by day and by kind of step, planned against real, and what was noted.

const $ = (id) => document.getElementById(id);
const minutes = (value) => value.toFixed(1);

function fill(id, head, rows) {
  const line = (cells, kind) => {
    const tr = document.createElement("tr");
    for (const cell of cells) {
      const td = document.createElement(kind);
      td.textContent = cell;
      tr.append(td);
    }
    return tr;
  };
  $(id).replaceChildren(line(head, "th"), ...rows.map((row) => line(row, "td")));
}

function one(takes) {
  if (!takes) return "as planned; too few measured";
  const { likely, low, high, steps } = takes;
  return `${likely.toFixed(2)} (${low.toFixed(2)} to ${high.toFixed(2)}, from ${steps} steps)`;
}

const log = await (await fetch("log.json")).json();
$("title").textContent = log.title;
const [low, likely, high] = log.left_min.map((value) => (value / 60).toFixed(1));
$("sum").textContent = `${log.done} of ${log.steps} steps done; ${(log.work_min / 60).toFixed(1)} h of `
  + `work; about ${likely} h left (${low} to ${high}). ${log.changed}`;
fill("days", ["day", "from", "to", "steps", "work min", "pauses min"], log.days.map((day) =>
  [day.day, day.first, day.last, day.steps, minutes(day.work_min), minutes(day.pause_min)]));
fill("kinds", ["kind", "done", "measured", "planned", "real", "one takes"], log.kinds.map((kind) =>
  [kind.kind, kind.steps, kind.measured, minutes(kind.planned_min), minutes(kind.real_min), one(kind.one)]));
fill("noted", ["when", "step", "what"], log.noted.map((note) =>
  [note.at.slice(0, 16).replace("T", " "), note.step ?? "", note.says]));
