// What the picture lays, as far as this window has it: stencils (shapes that are laid again and
// again) and sheets (what one slice lays, under its key). The server sends only what is lacking.

export interface ShapeTold {
  d: string; detail?: "fine" | "coarse"; stroke?: string; wide?: number; round?: boolean; opacity?: number;
  fill?: string; fade?: [number, number, number, number]; stops?: [number, string, number][];
  tile?: number; hatch?: ShapeTold[];
}
export interface StencilTold { box: [number, number, number, number]; shapes: ShapeTold[] }
export interface Drawn {
  set: string; first: number; stencils: StencilTold[]; sheets: Record<string, [string, number[]][]>;
}
export interface Seen { from: number; to: number; have: string[]; set: string; known: number; waits?: string }

export interface Shape extends ShapeTold { path: Path2D; paint: CanvasGradient | null; tiles: Map<number, CanvasPattern> }
export interface Stencil { left: number; right: number; fine: Shape[]; coarse: Shape[]; tiny: Shape[] }
export interface Laid { stencil: Stencil; x: number; y: number; clip: string }
export type Sheet = Laid[];

const MOST_LAID = 800_000; // on all sheets that are kept
const MOST_TOLD = 450; // keys: the server leaves out what they name
const PLAIN = 0.5; // what is less opaque does not show when it is tiny
const MOST_SETS = 3;

export class Sheets {
  private sets = new Map<string, Stencil[]>();
  private kept = new Map<string, Sheet>(); // the last used come last
  private set = "";
  private laid = 0;

  get(key: string): Sheet | undefined {
    const found = this.kept.get(key);
    if (found) {
      this.kept.delete(key);
      this.kept.set(key, found);
    }
    return found;
  }

  /** What this window sees (mm of the picture) and has. */
  seen(from: number, to: number): Seen {
    const have = [...this.kept.keys()].slice(-MOST_TOLD);
    return { from, to, have, set: this.set, known: this.sets.get(this.set)?.length ?? 0 };
  }

  take(drawn: Drawn | undefined): void {
    if (!drawn) return;
    const stencils = this.sets.get(drawn.set) ?? [];
    this.sets.delete(drawn.set);
    this.sets.set(drawn.set, stencils);
    this.set = drawn.set;
    drawn.stencils.forEach((told, k) => (stencils[drawn.first + k] ??= stencilOf(told)));
    for (const [key, runs] of Object.entries(drawn.sheets)) this.keep(key, sheetOf(runs, stencils));
    for (const [key, sheet] of this.kept) {
      if (this.laid <= MOST_LAID) break;
      this.kept.delete(key);
      this.laid -= sheet.length;
    }
    for (const name of [...this.sets.keys()].slice(0, -MOST_SETS)) this.sets.delete(name);
  }

  private keep(key: string, sheet: Sheet): void {
    this.laid += sheet.length - (this.kept.get(key)?.length ?? 0);
    this.kept.delete(key);
    this.kept.set(key, sheet);
  }
}

function stencilOf(told: StencilTold): Stencil {
  const shapes = told.shapes.map((shape) => ({ ...shape, path: new Path2D(shape.d), paint: null, tiles: new Map() }));
  const [left, , right] = told.box;
  const coarse = shapes.filter((shape) => shape.detail !== "fine");
  return {
    left, right, coarse,
    fine: shapes.filter((shape) => shape.detail !== "coarse"),
    tiny: coarse.filter((shape) => !shape.fade && (shape.opacity ?? 1) >= PLAIN),
  };
}

function sheetOf(runs: [string, number[]][], stencils: Stencil[]): Sheet {
  const sheet: Sheet = [];
  for (const [clip, numbers] of runs) {
    for (let k = 0; k + 2 < numbers.length; k += 3) {
      const stencil = stencils[numbers[k] ?? -1];
      if (stencil) sheet.push({ stencil, x: numbers[k + 1] ?? 0, y: numbers[k + 2] ?? 0, clip });
    }
  }
  return sheet;
}
