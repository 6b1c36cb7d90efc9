// Draws a sketch on canvases: the painted grid, and the units on their way.

import { ANY, WALL, type Cell, type Cells } from "./cells";
import type { Ribbons, Under, Yarn } from "./sketchstore";

const PAPER = "#f4f1ea";
const LINE = "rgb(60 52 40 / 35%)";
const CURSOR = "#12485f";

/** A canvas of a size in CSS pixels, sharp on this screen, empty. */
function fresh(canvas: HTMLCanvasElement, width: number, height: number): CanvasRenderingContext2D | null {
  const dense = devicePixelRatio || 1;
  canvas.width = Math.round(width * dense);
  canvas.height = Math.round(height * dense);
  canvas.style.width = `${width}px`;
  canvas.style.height = `${height}px`;
  const context = canvas.getContext("2d");
  context?.scale(dense, dense);
  if (context) {
    context.fillStyle = PAPER;
    context.fillRect(0, 0, width, height);
  }
  return context;
}

export interface Grid {
  cells: Cells; shown: number[][] | null; yarns: Yarn[]; side: number; under: Under | null; cursor: Cell | null;
}

export function drawGrid(canvas: HTMLCanvasElement, grid: Grid): void {
  const { cells, side, under } = grid;
  const [width, height] = [(cells[0]?.length ?? 0) * side, cells.length * side];
  const context = fresh(canvas, width, height);
  if (!context) return;
  if (under) {
    const { left, top, width: wide, height: high } = under.box;
    context.drawImage(under.image, left * width, top * height, wide * width, high * height);
  }
  cells.forEach((row, r) => row.forEach((cell, p) => {
    drawCell(context, cell, grid, p * side, r * side);
    const shows = grid.shown?.[r]?.[p];
    if (shows !== undefined && shows !== cell && cell !== ANY && !under) drawDot(context, shows, grid, p * side, r * side);
  }));
  lines(context, cells.length, cells[0]?.length ?? 0, side);
  if (grid.cursor) {
    context.strokeStyle = "#ffffff";
    context.lineWidth = 5;
    context.strokeRect(grid.cursor[1] * side + 1, grid.cursor[0] * side + 1, side - 2, side - 2);
    context.strokeStyle = CURSOR;
    context.lineWidth = 2.5;
    context.strokeRect(grid.cursor[1] * side + 1, grid.cursor[0] * side + 1, side - 2, side - 2);
  }
}

/** A cell in its colour; over a picture only its middle. Bare wall bears a stroke, no matter a dot. */
function drawCell(context: CanvasRenderingContext2D, cell: number, grid: Grid, x: number, y: number): void {
  const { side, under } = grid;
  const rim = under ? side * 0.28 : 0;
  if (!under || cell !== ANY) {
    context.fillStyle = grid.yarns[cell]?.colour ?? PAPER;
    context.fillRect(x + rim, y + rim, side - 2 * rim, side - 2 * rim);
  }
  if (cell >= 0) return;
  context.strokeStyle = context.fillStyle = "rgb(60 52 40 / 55%)";
  context.lineWidth = 1;
  context.beginPath();
  if (cell === WALL) {
    context.moveTo(x + side * 0.3, y + side * 0.7);
    context.lineTo(x + side * 0.7, y + side * 0.3);
    context.stroke();
  } else if (!under) {
    context.arc(x + side / 2, y + side / 2, Math.max(1, side * 0.06), 0, 2 * Math.PI);
    context.fill();
  }
}

/** What units show where it is not what is painted. */
function drawDot(context: CanvasRenderingContext2D, shows: number, grid: Grid, x: number, y: number): void {
  const { side } = grid;
  context.beginPath();
  context.arc(x + side / 2, y + side / 2, side * 0.24, 0, 2 * Math.PI);
  context.fillStyle = grid.yarns[shows]?.colour ?? PAPER;
  context.fill();
  context.strokeStyle = "#ffffff";
  context.lineWidth = 1.5;
  context.stroke();
}

function lines(context: CanvasRenderingContext2D, rows: number, places: number, side: number): void {
  context.strokeStyle = LINE;
  for (let p = 0; p <= places; p += 1) stroke(context, p, p * side, 0, p * side, rows * side);
  for (let r = 0; r <= rows; r += 1) stroke(context, rows - r, 0, r * side, places * side, r * side);
}

function stroke(context: CanvasRenderingContext2D, number: number, x: number, y: number, toX: number, toY: number): void {
  context.lineWidth = number % 5 === 0 ? 1.5 : 0.5;
  context.beginPath();
  context.moveTo(x, y);
  context.lineTo(toX, toY);
  context.stroke();
}

/** The units of each span from back to front, between bands as thin as rods. */
export function drawRibbons(canvas: HTMLCanvasElement, ribbons: Ribbons, yarns: Yarn[], width: number, height: number): void {
  const context = fresh(canvas, width, height);
  const places = ribbons.rows[0]?.length ?? 0;
  if (!context || places === 0) return;
  const pitch = width / places;
  const span = height / Math.max(1, ribbons.layers.length);
  ribbons.layers.forEach((layer, k) => {
    for (const unit of layer) {
      const from = (ribbons.rows[k]?.indexOf(unit) ?? 0) + 0.5;
      const to = (ribbons.rows[k + 1]?.indexOf(unit) ?? 0) + 0.5;
      const colour = yarns[ribbons.colours[unit] ?? 0]?.colour ?? PAPER;
      ribbon(context, colour, from * pitch, to * pitch, k * span, span, pitch);
    }
    context.fillStyle = "rgb(40 34 26 / 55%)";
    context.fillRect(0, k * span - 0.75, width, 1.5);
  });
  context.fillRect(0, height - 1.5, width, 1.5);
}

function ribbon(
  context: CanvasRenderingContext2D, colour: string, from: number, to: number, top: number, span: number, pitch: number,
): void {
  const half = pitch * 0.46;
  context.beginPath();
  context.moveTo(from - half, top);
  context.lineTo(from + half, top);
  context.lineTo(to + half, top + span);
  context.lineTo(to - half, top + span);
  context.closePath();
  context.fillStyle = colour;
  context.fill();
  context.strokeStyle = "rgb(255 252 245 / 55%)";
  context.lineWidth = Math.min(1, pitch * 0.12);
  context.stroke();
}
