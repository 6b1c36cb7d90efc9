// The picture in slices, each painted on a canvas of its own; only those near the window are
// there. What is in the window is painted at once, the rest in a moment without work; an old
// picture of a slice stays until the new one is there.

import { useLayoutEffect, useRef } from "preact/hooks";
import type { Picture, Slice } from "./api";
import { paint, type Frame } from "./paint";
import type { Sheet } from "./sheets";
import type { Store } from "./store";

/** What of the picture is near the window and in it: mm, y down; and from where to where across, px. */
export interface Place { from: number; to: number; top: number; low: number; left: number; right: number }

const LARGEST_PX = 4_000_000; // a larger slice is painted only near the window
const STEP_PX = 512;
const AT_ONCE_MS = 120; // then she gets a say between two slices

interface Props { store: Store; picture: Picture; scale: number; place: Place; shown: () => void }

export function Slices({ store, picture, scale, place, shown }: Props) {
  const holder = useRef<HTMLDivElement>(null);
  const panes = useRef<Panes | null>(null);
  useLayoutEffect(() => {
    if (!holder.current) return;
    panes.current ??= new Panes(holder.current);
    store.sees = { from: place.from, to: place.to };
    const waits = panes.current.show(store, picture, scale, place, shown);
    if (waits) store.fetchSheets(waits);
  });
  return <div ref={holder} class="slices" aria-hidden="true" />;
}

interface Work { canvas: HTMLCanvasElement; slice: Slice; sheet: Sheet; frame: Frame; inside: boolean }

class Panes {
  private missing = false; // something in the window has not come yet
  private shown = () => {};
  private canvases = new Map<number, HTMLCanvasElement>();
  private done = new WeakMap<HTMLCanvasElement, string>();
  private later: Work[] = [];
  private timer = 0;

  constructor(private readonly holder: HTMLElement) {}

  /** Show what is near, and say so; returns the key of a slice that is not there, or nothing. */
  show(store: Store, picture: Picture, scale: number, place: Place, shown: () => void): string {
    this.later = [];
    this.missing = false;
    this.shown = shown;
    const start = performance.now();
    let waits = "";
    const near = new Set<number>();
    picture.slices.forEach((slice, number) => {
      if (slice.top + slice.height <= place.from || slice.top >= place.to) return;
      near.add(number);
      const inside = slice.top + slice.height > place.top && slice.top < place.low;
      const sheet = store.sheets.get(slice.key);
      if (!sheet) {
        waits ||= slice.key;
        this.missing ||= inside;
        return;
      }
      const frame = frameOf(slice, scale, scale >= picture.fine_from, place);
      const work = { canvas: this.canvas(number), slice, sheet, frame, inside };
      if (this.done.get(work.canvas) === stamp(work)) return;
      if (inside && performance.now() - start < AT_ONCE_MS) this.paint(work);
      else this.later.push(work);
    });
    this.later.sort((a, b) => Number(b.inside) - Number(a.inside));
    for (const [number, canvas] of this.canvases) {
      if (near.has(number)) continue;
      canvas.remove();
      this.canvases.delete(number);
    }
    clearTimeout(this.timer);
    if (this.later.length > 0) this.timer = window.setTimeout(this.next, this.later[0]?.inside ? 0 : 30);
    this.say();
    return waits;
  }

  private readonly next = () => {
    const work = this.later.shift();
    if (!work) return;
    this.paint(work);
    this.timer = window.setTimeout(this.next, 0);
    if (work.inside) this.say();
  };

  /** Everything in the window is there. */
  private say(): void {
    if (!this.missing && !this.later[0]?.inside) this.shown();
  }

  private paint(work: Work): void {
    const { canvas, frame } = work;
    const dense = devicePixelRatio;
    paint(canvas, work.sheet, frame);
    canvas.style.left = `${frame.left / dense}px`;
    canvas.style.top = `${frame.top / dense}px`;
    canvas.style.width = `${frame.width / dense}px`;
    canvas.style.height = `${frame.height / dense}px`;
    canvas.dataset["key"] = work.slice.key;
    this.done.set(canvas, stamp(work));
  }

  private canvas(number: number): HTMLCanvasElement {
    let found = this.canvases.get(number);
    if (!found) {
      found = document.createElement("canvas");
      found.className = "slice";
      found.style.zIndex = String(number); // a shadow falls behind the slice below
      this.holder.append(found);
      this.canvases.set(number, found);
    }
    return found;
  }
}

function stamp({ slice, frame }: Work): string {
  return [slice.key, ...Object.values(frame)].join(" ");
}

/** Where the canvas of a slice lies: all of it, or when it is very large what is near the window. */
function frameOf(slice: Slice, scale: number, fine: boolean, place: Place): Frame {
  const dense = devicePixelRatio;
  const px = scale * dense;
  let [left, top] = [Math.floor(slice.left * px), Math.floor(slice.top * px)];
  let [right, low] = [Math.ceil((slice.left + slice.width) * px), Math.ceil((slice.top + slice.height) * px)];
  if ((right - left) * (low - top) > LARGEST_PX) {
    left = Math.max(left, down(place.left * dense));
    right = Math.max(left + 1, Math.min(right, up(place.right * dense)));
    top = Math.max(top, down(place.from * px));
    low = Math.max(top + 1, Math.min(low, up(place.to * px)));
  }
  return {
    left, top, width: right - left, height: low - top, x: slice.left * px - left, y: slice.top * px - top, scale: px, fine,
  };
}

function down(px: number): number {
  return Math.floor(px / STEP_PX) * STEP_PX;
}

function up(px: number): number {
  return Math.ceil(px / STEP_PX) * STEP_PX;
}
