// Paints a sheet on a canvas. Where a sheet takes the place of another, only the strip in which
// they differ is painted again; everything else stays as it is, to the pixel.

import type { Laid, Shape, ShapeTold, Sheet } from "./sheets";

/** Where a canvas lies on the picture, and how: in whole pixels of the screen. */
export interface Frame {
  left: number; top: number; width: number; height: number;
  x: number; y: number; // the slice's corner from the corner of the frame
  scale: number; // px for each mm
  fine: boolean; // single ends can be told apart
}

const TINY_PX = 4; // across: light and shade of less cannot be seen
const ALL_ROUND = 2; // px more than the boxes say: soft edges
const painted = new WeakMap<HTMLCanvasElement, { sheet: Sheet; frame: Frame }>();

export function paint(canvas: HTMLCanvasElement, sheet: Sheet, frame: Frame): void {
  const context = canvas.getContext("2d");
  if (!context) return;
  const former = painted.get(canvas);
  let strip: [number, number] = [0, frame.width];
  if (former && same(former.frame, frame)) strip = differing(former.sheet, sheet, frame);
  else {
    canvas.width = frame.width;
    canvas.height = frame.height;
  }
  painted.set(canvas, { sheet, frame });
  const [from, to] = strip;
  if (to <= from) return;
  context.setTransform(1, 0, 0, 1, 0, 0);
  context.save();
  context.beginPath();
  context.rect(from, 0, to - from, frame.height);
  context.clip();
  context.clearRect(from, 0, to - from, frame.height);
  context.miterLimit = 4; // as in SVG
  lay(context, sheet, frame, from, to);
  context.restore();
}

function lay(context: CanvasRenderingContext2D, sheet: Sheet, frame: Frame, from: number, to: number): void {
  const { scale, x, y } = frame;
  const [low, high] = [(from - ALL_ROUND - x) / scale, (to + ALL_ROUND - x) / scale];
  for (const laid of sheet) {
    const { stencil } = laid;
    if (laid.x + stencil.right < low || laid.x + stencil.left > high) continue;
    if (laid.clip) {
      context.save();
      context.setTransform(scale, 0, 0, scale, x, y);
      context.clip(new Path2D(laid.clip));
    }
    context.setTransform(scale, 0, 0, scale, x + laid.x * scale, y + laid.y * scale);
    const tiny = (stencil.right - stencil.left) * scale < TINY_PX;
    for (const shape of tiny ? stencil.tiny : frame.fine ? stencil.fine : stencil.coarse) draw(context, shape, scale);
    if (laid.clip) context.restore();
  }
}

function draw(context: CanvasRenderingContext2D, shape: Shape, scale: number): void {
  context.globalAlpha = shape.opacity ?? 1;
  const fill = shape.fill ?? fade(context, shape) ?? hatch(context, shape, scale);
  if (fill) {
    context.fillStyle = fill;
    context.fill(shape.path);
  }
  if (shape.stroke) {
    context.strokeStyle = shape.stroke;
    context.lineWidth = shape.wide ?? 1;
    context.lineCap = shape.round ? "round" : "butt";
    context.lineJoin = shape.round ? "round" : "miter";
    context.stroke(shape.path);
  }
}

function fade(context: CanvasRenderingContext2D, shape: Shape): CanvasGradient | null {
  if (!shape.paint && shape.fade) {
    shape.paint = context.createLinearGradient(...shape.fade);
    for (const [at, colour, opacity] of shape.stops ?? []) {
      const share = Math.round(255 * opacity).toString(16).padStart(2, "0");
      shape.paint.addColorStop(at, colour + share);
    }
  }
  return shape.paint;
}

/** A repeated tile, painted once for each scale. */
function hatch(context: CanvasRenderingContext2D, shape: Shape, scale: number): CanvasPattern | null {
  if (!shape.tile || !shape.hatch) return null;
  const size = Math.max(2, Math.round(shape.tile * scale));
  let found = shape.tiles.get(size) ?? null;
  if (!found) {
    const canvas = document.createElement("canvas");
    canvas.width = canvas.height = size;
    const on = canvas.getContext("2d");
    if (!on) return null;
    on.scale(size / shape.tile, size / shape.tile);
    for (const part of shape.hatch) plain(on, part);
    found = context.createPattern(canvas, "repeat");
    if (!found) return null;
    found.setTransform(new DOMMatrix().scale(shape.tile / size));
    shape.tiles.set(size, found);
  }
  return found;
}

function plain(context: CanvasRenderingContext2D, part: ShapeTold): void {
  const path = new Path2D(part.d);
  if (part.fill) {
    context.fillStyle = part.fill;
    context.fill(path);
  }
  if (part.stroke) {
    context.strokeStyle = part.stroke;
    context.lineWidth = part.wide ?? 1;
    context.stroke(path);
  }
}

/** From where to where (px) two sheets differ. Laid things at the same place in both lists are
 * painted in the same order, so wherever none of those that differ lies nothing changes. */
function differing(old: Sheet, now: Sheet, frame: Frame): [number, number] {
  let [low, high] = [Infinity, -Infinity];
  const take = (laid: Laid) => {
    low = Math.min(low, laid.x + laid.stencil.left);
    high = Math.max(high, laid.x + laid.stencil.right);
  };
  const shorter = Math.min(old.length, now.length);
  let head = 0;
  let tail = 0;
  if (old.length !== now.length) {
    while (head < shorter && alike(old[head], now[head])) head += 1;
    while (tail < shorter - head && alike(old[old.length - 1 - tail], now[now.length - 1 - tail])) tail += 1;
  }
  const end = Math.max(old.length, now.length) - tail;
  for (let k = head; k < end; k += 1) {
    const [one, other] = [k < old.length - tail ? old[k] : undefined, k < now.length - tail ? now[k] : undefined];
    if (alike(one, other)) continue;
    if (one) take(one);
    if (other) take(other);
  }
  if (low > high) return [0, 0];
  const px = (mm: number) => frame.x + mm * frame.scale;
  return [Math.max(0, Math.floor(px(low)) - ALL_ROUND), Math.min(frame.width, Math.ceil(px(high)) + ALL_ROUND)];
}

function alike(one: Laid | undefined, other: Laid | undefined): boolean {
  if (!one || !other) return false;
  return one.stencil === other.stencil && one.x === other.x && one.y === other.y && one.clip === other.clip;
}

function same(one: Frame, other: Frame): boolean {
  return one.left === other.left && one.top === other.top && one.width === other.width && one.height === other.height
    && one.x === other.x && one.y === other.y && one.scale === other.scale && one.fine === other.fine;
}
