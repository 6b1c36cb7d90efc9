// A sketch in this window: what is painted, her wishes, and what the server says of both.

import { call, Refused } from "./api";
import { ANY, between, painted, patch, plain, resized, WALL, type Cell, type Cells } from "./cells";

export interface Yarn { name: string; colour: string; own: boolean }
export interface Source { source: string; says: string; yarns: Yarn[] }
export interface Ribbons { colours: number[]; rows: number[][]; layers: number[][] }
export interface Shown {
  counts: { colour: number; units: number }[]; shown: number[][]; ribbons: Ribbons; says: string[];
  proved: boolean; whole: boolean; stands?: boolean; width: number; height: number; stale?: boolean;
}
export interface Box { left: number; top: number; width: number; height: number }
export interface Under { key: string; name: string; aspect: number; image: HTMLImageElement; box: Box }
export type Tool = "brush" | "line" | "fill" | "picture";
export type Working = "" | "stretch" | "whole";

/** What is kept while the window is open, and undone or redone as one. */
interface Kept {
  source: string; yarns: Yarn[]; front: number[]; least: boolean; counts: number[] | null; cells: Cells;
  height: number; easy: number; brace: boolean; title: string;
}

const NAME = "crossfell-sketch";
const RESTS_MS = { stretch: 250, whole: 700 };
const MOST_BACK = 200;
const AROUND = 3; // rows beside those that were painted, improved with them

export class SketchStore {
  sources: Source[] = [];
  kept: Kept = {
    source: "", yarns: [], front: [], least: false, counts: null, cells: plain(20, 24, 0),
    height: 140, easy: 0.3, brace: false, title: "A sketch",
  };
  colour = 0;
  tool: Tool = "brush";
  mirror = false;
  under: Under | null = null;
  answer: Shown | null = null;
  trouble = "";
  working: Working = "";
  #back: Cells[] = [];
  #forth: Cells[] = [];
  #told = new Set<() => void>();
  #turn = 0;
  #asking = false;
  #timer = 0;
  #improved: Kept | null = null; // what was painted and wished when it was last improved

  listen(told: () => void): () => void {
    this.#told.add(told);
    return () => this.#told.delete(told);
  }

  tell(): void {
    for (const told of this.#told) told();
  }

  get bands(): number { return this.kept.cells.length; }
  get places(): number { return this.kept.cells[0]?.length ?? 0; }
  get canUndo(): boolean { return this.#back.length > 0; }
  get canRedo(): boolean { return this.#forth.length > 0; }

  name(colour: number): string {
    if (colour === WALL) return "bare wall";
    return colour === ANY ? "does not matter" : this.kept.yarns[colour]?.name ?? "";
  }

  async begin(): Promise<void> {
    await this.#guarded(async () => {
      this.sources = (await call<{ sources: Source[] }>("sketch-begin")).sources;
      const before = sessionStorage.getItem(NAME);
      const kept = before === null ? null : (JSON.parse(before) as Kept);
      if (kept && this.sources.some((one) => one.source === kept.source)) this.kept = kept;
      else this.lend(this.sources[0]?.source ?? "");
    });
    this.changed();
  }

  end(): void {
    this.#turn += 1;
    clearTimeout(this.#timer);
  }

  /** Yarns of another source; what is painted keeps its numbers as far as there are yarns. */
  lend(source: string): void {
    const yarns = this.sources.find((one) => one.source === source)?.yarns ?? [];
    const last = Math.max(0, yarns.length - 1);
    const fresh = this.kept.yarns.length === 0;
    const cells = fresh
      ? plain(this.bands, this.places, last)
      : this.kept.cells.map((row) => row.map((cell) => Math.min(cell, last)));
    this.kept = { ...this.kept, source, yarns, cells, counts: null, front: yarns.map((_, k) => k) };
    this.colour = 0;
    this.changed();
  }

  add(yarn: Yarn): void {
    const { yarns, front, counts } = this.kept;
    const more = counts && [...counts.slice(0, -1), 0, counts.at(-1) ?? 0];
    this.want({ yarns: [...yarns, yarn], front: [yarns.length, ...front], counts: more });
    this.choose(yarns.length);
  }

  want(change: Partial<Kept>): void {
    this.kept = { ...this.kept, ...change };
    this.changed();
  }

  choose(colour: number): void {
    this.colour = colour;
    if (this.tool === "picture") this.tool = "brush";
    this.tell();
  }

  take(tool: Tool): void {
    this.tool = tool;
    this.tell();
  }

  mirrored(yes: boolean): void {
    this.mirror = yes;
    this.tell();
  }

  size(bands: number, places: number): void {
    this.remember();
    this.want({ cells: resized(this.kept.cells, bands, places), counts: null });
  }

  /** A stroke begins: what was before can be brought back. */
  remember(): void {
    this.#back = [...this.#back.slice(1 - MOST_BACK), this.kept.cells];
    this.#forth = [];
  }

  stroke(where: Cell[], on: Cells = this.kept.cells): void {
    this.want({ cells: painted(on, where, this.colour, this.mirror) });
  }

  line(from: Cell, to: Cell, on: Cells): void {
    this.stroke(between(from, to), on);
  }

  fill(from: Cell): void {
    this.stroke(patch(this.kept.cells, from));
  }

  undo(): void {
    this.#walk(this.#back, this.#forth);
  }

  redo(): void {
    this.#walk(this.#forth, this.#back);
  }

  #walk(from: Cells[], to: Cells[]): void {
    const cells = from.pop();
    if (!cells) return;
    to.push(this.kept.cells);
    const resized = cells[0]?.length !== this.places;
    this.want({ cells, ...(resized ? { counts: null } : {}) });
  }

  /** A picture of hers under the grid. */
  async drop(file: File): Promise<void> {
    await this.#guarded(async () => {
      const data = await inBase64(file);
      const told = await call<{ key: string; aspect: number }>("sketch-picture", { data, name: file.name });
      const image = new Image();
      image.src = URL.createObjectURL(file);
      await image.decode().finally(() => URL.revokeObjectURL(image.src));
      this.under = { ...told, name: file.name, image, box: { left: 0, top: 0, width: 1, height: 1 } };
      this.tool = "picture";
      this.remember();
      await this.place(this.under.box);
    });
  }

  /** The picture lies elsewhere: what it shows there is painted. */
  async place(box: Box): Promise<void> {
    const under = this.under;
    if (!under) return;
    this.under = { ...under, box };
    this.tell();
    if (this.#asking) return; // the answer under way asks again
    this.#asking = true;
    await this.#guarded(async () => {
      const { yarns } = this.kept;
      const asked = { key: under.key, box, wall: true, yarns, bands: this.bands, places: this.places };
      const { cells } = await call<{ cells: number[][] }>("sketch-from", asked);
      this.want({ cells });
    });
    this.#asking = false;
    if (this.under && this.under.box !== box) await this.place(this.under.box);
  }

  /** The picture lies as wide and as high as it is, as large as the piece has room. */
  trueSides(): void {
    const { under, answer } = this;
    if (!under || !answer) return;
    const room = answer.width / Math.max(answer.height, 1);
    const width = Math.min(1, under.aspect / room);
    const height = Math.min(1, room / under.aspect);
    void this.place({ left: (1 - width) / 2, top: (1 - height) / 2, width, height });
  }

  asked(): object {
    const { front, least, yarns, ...kept } = this.kept;
    const order = least ? "fewest lifts" : front.map((k) => yarns[k]?.name).join(" ");
    return { ...kept, yarns, front: order, pitch: 0, places: this.places, bands: this.bands };
  }

  /** Something is painted or wished anew: what units can show is asked at once, better after a rest. */
  changed(): void {
    sessionStorage.setItem(NAME, JSON.stringify(this.kept));
    this.#turn += 1;
    clearTimeout(this.#timer);
    this.working = "";
    this.tell();
    void this.#preview();
  }

  #previewing = false;

  async #preview(): Promise<void> {
    if (this.#previewing || this.kept.yarns.length === 0) return;
    this.#previewing = true;
    const turn = this.#turn;
    await this.#guarded(async () => {
      this.answer = await call<Shown>("sketch", { ...this.asked(), shown: this.answer?.shown ?? null });
      if (!this.answer.stands) this.#improved = null;
      this.trouble = "";
    });
    this.#previewing = false;
    this.tell();
    if (turn !== this.#turn) await this.#preview();
    else if (!this.trouble) this.#later("stretch", turn);
  }

  #later(stage: "stretch" | "whole", turn: number): void {
    this.#timer = window.setTimeout(() => void this.#better(stage, turn), RESTS_MS[stage]);
  }

  async #better(stage: "stretch" | "whole", turn: number): Promise<void> {
    if (turn !== this.#turn || !this.answer) return;
    this.working = stage;
    this.tell();
    const { kept } = this;
    await this.#guarded(async () => {
      const asked = { ...this.asked(), shown: this.answer?.shown, stage, rows: this.#painted() };
      const better = await call<Shown>("sketch-better", asked);
      if (better.stale || turn !== this.#turn) return;
      this.answer = better;
      this.#improved = kept;
      this.working = "";
      if (stage === "stretch" && better.whole) this.#later("whole", turn);
    });
    this.tell();
  }

  /** The rows that were painted since it was last improved; null where all of it is anew. */
  #painted(): { first: number; last: number } | null {
    const before = this.#improved;
    if (!before || before.easy !== this.kept.easy) return null;
    const rows = this.kept.cells.flatMap((row, r) => (String(row) === String(before.cells[r]) ? [] : [r]));
    const [first, last] = [rows[0], rows.at(-1)];
    return first === undefined || last === undefined ? null : { first: Math.max(0, first - AROUND), last: last + AROUND };
  }

  async keep(): Promise<string | null> {
    let piece: string | null = null;
    await this.#guarded(async () => {
      this.end();
      const asked = { ...this.asked(), shown: this.answer?.shown };
      piece = (await call<{ piece: string }>("sketch-keep", asked)).piece;
    });
    return piece;
  }

  async #guarded(work: () => Promise<void>): Promise<void> {
    try {
      await work();
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      this.trouble = problem.message;
      this.working = "";
      this.tell();
    }
  }
}

async function inBase64(file: File): Promise<string> {
  if (file.size > 6_000_000) throw new Refused("A picture for a sketch has at most 6 MB; make it smaller first.");
  const bytes = new Uint8Array(await file.arrayBuffer());
  let text = "";
  for (let k = 0; k < bytes.length; k += 8192) text += String.fromCharCode(...bytes.subarray(k, k + 8192));
  return btoa(text);
}
