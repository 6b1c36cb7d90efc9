// What the server says, and how it is asked. No geometry, units or craft rules live here:
// lengths of a picture are only scaled, words are only shown.

import type { Drawn } from "./sheets";

export type Tone = "plain" | "good" | "mind" | "bad";
export interface Num { key: string; label: string; value: string; why: string; tone: Tone }
export interface Edit { do: string; [key: string]: unknown }
export interface Remedy { says: string; edit: Edit }
export interface Finding {
  code: string; severity: "error" | "doubt" | "advice"; line: number; column: number;
  length: number; file: string; span: number | null; says: string; known: string;
  instead: string; remedy: Remedy | null;
}
export interface SpanRow {
  number: number; name: string; line: number; height: string; layable: boolean; lifted: number;
  crossings: number; turns: number; hold: "carried" | "barely" | "swings"; lean: number;
}
export interface Slice { left: number; top: number; width: number; height: number; key: string }
export interface Picture {
  view: string; style: string; says: string; width: number; height: number; wall: [string, string];
  fine_from: number; across: 1 | -1; up: 1 | -1; bands: [number, number][];
  places: number[]; slices: Slice[];
}
/** A kind of move that is made of chosen places; one that goes has a side. */
export interface Tool { name: string; key: string; goes: boolean; least: number; says: string }
export interface Warp {
  places: number; measure: string;
  yarns: { name: string; colour: string }[];
  figures: { name: string; places: number; spans: number }[];
  tools: Tool[];
  kinds: { name: string; ends: string }[];
}
export interface State {
  piece: string; revision: number; what: string; text: string; fault: string; title: string;
  notes: Finding[]; computable: boolean; parts: string[]; warp: Warp; numbers?: Num[]; spans?: SpanRow[];
  picture?: Picture; undo: string | null; redo: string | null;
  outside: { says: string; known: string; instead: string } | null;
}
/** A state as it is told: what changed in a text that this window has, and what it lacks. */
export interface StateTold extends Omit<State, "text"> {
  text?: string; splice?: [number, number, string]; drawn?: Drawn;
}
export interface Selection { span: number; span_to: number; first: number; last: number }
export interface Selected extends Selection {
  units: string[]; yarns: { name: string; colour: string; units: number }[]; box: string; outline: string; says: string; height: string; moves: string[];
}
export interface Pointed {
  kind: "band" | "span"; span: number; band?: number; unit?: string | null; place?: number;
  says: string; line?: number;
}
export interface BandTold extends Pointed {
  path: string; picks: string; rod: string; weft: string; outline: string;
}
export interface Dragged {
  by: number; edit?: Edit | null; says?: string; refused?: string; numbers?: Num[];
  ghost?: string; lands?: [number, number]; slices?: Slice[]; drawn?: Drawn; later?: Num[];
}
export interface BandDragged { says: string; edit: Edit | null; line: number }
export interface Card {
  piece: string; state: string; says: string; source: string; archived: boolean; waiting: boolean; title: string; size: string;
  units: string; price: string; price_source: string; errors: number; doubts: number; broken: boolean; digest: string;
  fault?: string;
}
/** `workshop_revision` where it is the workshop's text that was changed in two ways. */
export interface Disagreement { base: string; mine: string; theirs: string; workshop_revision?: number }
/** What was put into a number; a total has its parts. A `way` can be asked for in its turn. */
export interface PutIn { name: string; shown: string; way: string; parts: { name: string; shown: string; way: string }[] }
export interface Because {
  what: string; value: unknown; shown: string; unit: string; says: string; rule: string; formula: string; solved: boolean;
  source: string; put: PutIn[]; lines: number[];
}
export interface KeyRow {
  path: string; key: string; says: string; kind: string; choices: string[]; default: string; value: string;
  from: "draft" | "workshop" | "default"; draft: string; workshop: string;
}
export interface KeyTable { family: string; name: string; shared: boolean; rows: KeyRow[] }
export interface Done { revision: number; what: string; made: string }
export interface Tables {
  revision: number; file: string; tables: KeyTable[]; trouble: string;
  workshop: { file: string; revision: number; undo: string | null; redo: string | null; recent: Done[] } | null;
}
export interface Versions {
  revision: number;
  versions: { number: number; name: string; revision: number; made: string }[];
  recent: { revision: number; what: string; made: string }[];
}

/** What was asked cannot be done; the message is a sentence for the maker. */
export class Refused extends Error {}

/** Two changes cannot both be had. */
export class Disagreed extends Error {
  constructor(readonly disagreement: Disagreement, readonly state: StateTold) {
    super("The draft was changed elsewhere in the same place.");
  }
}

/** This window, so that it knows its own changes again. */
export const WINDOW = Math.random().toString(36).slice(2);

export async function call<T>(name: string, asked: object = {}): Promise<T> {
  let answer: Response;
  try {
    answer = await fetch(`/api/${name}`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ ...asked, window: WINDOW }),
    });
  } catch {
    throw new Refused("The studio does not answer. Is it still running? Nothing acknowledged is lost.");
  }
  if (answer.ok) return (await answer.json()) as T;
  if (answer.status === 409) {
    const told = (await answer.json()) as { disagreement: Disagreement; state: StateTold };
    throw new Disagreed(told.disagreement, told.state);
  }
  const type = answer.headers.get("Content-Type") ?? "";
  const told = type.includes("json") ? ((await answer.json()) as { error: string }).error : await answer.text();
  throw new Refused(told || "That cannot be done.");
}

export function smallAddress(piece: string, digest: string, revision?: number): string {
  const query = new URLSearchParams({ piece, small: "1", v: digest });
  if (revision !== undefined) query.set("revision", String(revision));
  return `/whole/front.svg?${query}`;
}
export interface Proposal { number: number; says: string; effect: string; cost: string }
export interface Proposals { revision: number; remedies: Proposal[] }
export interface Trial {
  name: string; gives: string; do: string[];
  readings: { name: string; asks: string; options: string[]; default: string }[];
}
export interface Measured {
  revision: number; says: string; now: string; line: string; shared: boolean; wins: string[]; broken: boolean;
  effects: { label: string; before: string; after: string }[];
}
