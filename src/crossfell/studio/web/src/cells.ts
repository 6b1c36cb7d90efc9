// A painted grid: rows from the top, in each cell the number of a yarn, bare wall, or no matter.

export type Cells = readonly (readonly number[])[];
export type Cell = [row: number, place: number];
export const ANY = -1;
export const WALL = -2;

export function plain(rows: number, places: number, colour: number): Cells {
  return Array.from({ length: rows }, () => Array<number>(places).fill(colour));
}

/** Cells painted, and their mirror images where she paints mirrored. */
export function painted(cells: Cells, where: Cell[], colour: number, mirror: boolean): Cells {
  const made = cells.map((row) => [...row]);
  for (const [row, place] of where) {
    const line = made[row];
    if (!line || place < 0 || place >= line.length) continue;
    line[place] = colour;
    if (mirror) line[line.length - 1 - place] = colour;
  }
  return made;
}

/** Every cell between two, both among them: no gap, whichever way it leans. */
export function between([row, place]: Cell, [toRow, toPlace]: Cell): Cell[] {
  const steps = Math.max(Math.abs(toRow - row), Math.abs(toPlace - place), 1);
  return Array.from({ length: steps + 1 }, (_, k): Cell => [
    Math.round(row + ((toRow - row) * k) / steps),
    Math.round(place + ((toPlace - place) * k) / steps),
  ]);
}

/** The cells of one colour that hang together with a cell, side by side or one above the other. */
export function patch(cells: Cells, from: Cell): Cell[] {
  const was = cells[from[0]]?.[from[1]];
  const found: Cell[] = [];
  const seen = new Set<string>();
  const waiting: Cell[] = [from];
  for (let cell = waiting.pop(); cell; cell = waiting.pop()) {
    const [row, place] = cell;
    const name = `${row},${place}`;
    if (seen.has(name) || was === undefined || cells[row]?.[place] !== was) continue;
    seen.add(name);
    found.push(cell);
    waiting.push([row + 1, place], [row - 1, place], [row, place + 1], [row, place - 1]);
  }
  return found;
}

/** The same picture on a grid of another size. */
export function resized(cells: Cells, rows: number, places: number): Cells {
  const old = cells[0]?.length ?? 1;
  return Array.from({ length: rows }, (_, row) => {
    const line = cells[Math.floor((row * cells.length) / rows)] ?? [];
    return Array.from({ length: places }, (_, place) => line[Math.floor((place * old) / places)] ?? ANY);
  });
}
