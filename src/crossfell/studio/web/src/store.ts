// The open piece as this window knows it: what the server said last, what is selected, what is
// being sent. Changes are sent one after another, each on the revision that it was made on.

import { call, Disagreed, Refused, type BandTold, type Disagreement, type Edit, type Finding, type Num, type Selected, type Selection, type Slice, type State, type StateTold } from "./api";
import { Sheets, type Drawn, type Seen } from "./sheets";

export interface Later { revision: number; numbers: Num[]; notes: Finding[] }

const FIRST_SEEN_MM = 1500; // until the picture is laid out: about what a window shows of it

export class Store {
  state: State | null = null;
  later: Later | null = null;
  selection: Selection | null = null;
  selected: Selected | null = null;
  band: BandTold | null = null;
  trial: Num[] | null = null; // numbers while something is carried
  trialLater: Num[] | null = null;
  view = "front";
  style = "full";
  said = ""; // read out, and shown for a while
  trouble = "";
  disagreement: Disagreement | null = null;
  busy = 0;
  readonly sheets = new Sheets();
  sees = { from: 0, to: FIRST_SEEN_MM }; // mm of the picture
  soon: Slice[] | null = null; // slices as they will be when an edit that was tried is made
  private listeners = new Set<() => void>();
  private line: Promise<unknown> = Promise.resolve();
  private wanted = 0;
  private fetched = "";
  /** Sends what was typed and not sent yet; set by the text. */
  flush: (() => Promise<void>) | null = null;

  /** The title, or the last one that could be read. */
  title: string;

  constructor(readonly piece: string) {
    this.title = piece.split("/").at(-1) ?? piece;
  }

  listen(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  tell(): void {
    for (const listener of this.listeners) listener();
  }

  /** What every call on this piece says. */
  private get asked() {
    return { piece: this.piece, view: this.view, style: this.style };
  }

  /** What this window sees and has of the picture. */
  get seen(): Seen {
    return this.sheets.seen(this.sees.from, this.sees.to);
  }

  /** What a call says that answers a state. */
  private get looking() {
    return { ...this.asked, seen: this.seen, has: this.state?.revision };
  }

  async load(): Promise<void> {
    await this.inLine(async () => this.take(await call<StateTold>("open", this.looking)));
  }

  async look(view: string, style: string): Promise<void> {
    this.view = view;
    this.style = style;
    await this.load();
  }

  /** Make an edit; `soon` are the slices as they will be, if they are known: they show at once. */
  async edit(edit: Edit, soon?: Slice[]): Promise<boolean> {
    await this.flush?.();
    this.soon = soon ?? null;
    const done = this.change(() => call<StateTold>("edit", { ...this.looking, edit, revision: this.revision }));
    this.tell();
    return done;
  }

  /** Ask for what is lacking of the slices that are seen, once for each state and place. */
  fetchSheets(waits: string): void {
    const seen = this.seen;
    if (this.soon) return;
    const question = [waits, Math.round(seen.from), Math.round(seen.to)].join(" ");
    if (question === this.fetched) return;
    this.fetched = question;
    call<{ drawn: Drawn }>("sheets", { ...this.asked, seen: { ...seen, waits } }).then(
      ({ drawn }) => {
        this.sheets.take(drawn);
        this.tell();
      },
      (problem: unknown) => {
        if (!(problem instanceof Refused)) throw problem; // a draft with errors: its last picture stays
      },
    );
  }

  /** Send a text; returns the text as it now stands, or null when it could not be taken. */
  async text(text: string): Promise<string | null> {
    const revision = this.revision; // what the text was written on; another window may come first in line
    const done = await this.change(() => call<StateTold>("text", { ...this.looking, text, revision }));
    return done ? (this.state?.text ?? null) : null;
  }

  async undo(): Promise<void> {
    await this.flush?.();
    const what = this.state?.undo;
    if (await this.change(() => call<StateTold>("undo", this.looking))) this.say(what ? `Undone: ${what}` : "Nothing to undo");
  }

  async redo(): Promise<void> {
    const what = this.state?.redo;
    if (await this.change(() => call<StateTold>("redo", this.looking))) this.say(what ? `Done again: ${what}` : "Nothing to do again");
  }

  async mend(number: number): Promise<void> {
    await this.change(() => call<StateTold>("mend", { ...this.looking, number, revision: this.revision }));
  }

  /** A change of the workshop behind the draft; the answer is the draft as it then stands. */
  async workshop(name: string, asked: object): Promise<boolean> {
    await this.flush?.();
    return this.change(() => call<State>(name, { ...this.asked, ...asked }));
  }

  async restore(revision: number): Promise<void> {
    await this.change(() => call<StateTold>("restore", { ...this.looking, revision_wanted: revision }));
  }

  /** Settle a disagreement: this text, on what is there now. */
  async settle(text: string): Promise<void> {
    const workshop_revision = this.disagreement?.workshop_revision;
    this.disagreement = null;
    this.tell();
    if (workshop_revision !== undefined) {
      await this.workshop("workshop-text", { text, workshop_revision });
      return;
    }
    await this.text(text);
  }

  async selectBand(band: number): Promise<void> {
    try {
      this.band = await call<BandTold>("band", { ...this.asked, band });
      this.selection = null;
      this.selected = null;
      this.say(this.band.says);
    } catch (problem) {
      this.complain(problem);
    }
  }

  async select(selection: Selection | null): Promise<void> {
    this.selection = selection;
    this.band = null;
    if (!selection || !this.state?.computable) {
      this.selected = null;
      this.tell();
      return;
    }
    const wanted = ++this.wanted;
    try {
      const selected = await call<Selected>("select", { ...this.asked, ...selection });
      if (wanted !== this.wanted) return;
      const { span, span_to, first, last } = selected;
      this.selection = { span, span_to, first, last };
      this.selected = selected;
      this.say(selected.says);
    } catch (problem) {
      this.complain(problem);
    }
  }

  try<T>(name: string, asked: object): Promise<T> {
    return call<T>(name, { ...this.asked, ...asked });
  }

  say(words: string): void {
    this.said = words;
    this.trouble = "";
    this.tell();
  }

  complain(problem: unknown): void {
    if (problem instanceof Disagreed) {
      this.disagreement = problem.disagreement;
      this.take(problem.state);
    } else if (problem instanceof Refused) {
      this.trouble = problem.message;
    } else throw problem;
    this.tell();
  }

  get revision(): number {
    return this.state?.revision ?? 0;
  }

  private async change(asking: () => Promise<StateTold>): Promise<boolean> {
    return this.inLine(async () => {
      const state = await asking();
      this.trouble = "";
      this.take(state);
    });
  }

  private inLine(work: () => Promise<void>): Promise<boolean> {
    const done = this.line.then(async () => {
      this.busy += 1;
      try {
        await work();
        return true;
      } catch (problem) {
        this.soon = null;
        this.complain(problem);
        return false;
      } finally {
        this.busy -= 1;
      }
    });
    this.line = done;
    return done;
  }

  private take({ splice, drawn, ...told }: StateTold): void {
    const state = { ...told, text: told.text ?? spliced(this.state?.text ?? "", splice) };
    this.sheets.take(drawn);
    this.state = state;
    this.soon = null;
    this.fetched = "";
    if (state.computable || this.title === this.piece) this.title = state.title;
    this.trial = null;
    this.trialLater = null;
    this.tell();
    if (this.selection) void this.reselect();
    else if (this.band?.band && state.computable) void this.selectBand(this.band.band);
    if (state.computable) void this.fetchLater(state.revision);
  }

  private async reselect(): Promise<void> {
    const before = this.said;
    await this.select(this.selection);
    this.said = before;
  }

  private async fetchLater(revision: number): Promise<void> {
    await new Promise((resolve) => setTimeout(resolve, 350)); // the picture goes first
    if (revision !== this.state?.revision) return;
    try {
      const later = await call<Later>("later", this.asked);
      if (later.revision === this.state?.revision) {
        this.later = later;
        this.tell();
      }
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
    }
  }
}

/** A text with what changed in it. */
function spliced(text: string, splice: [number, number, string] | undefined): string {
  return splice ? text.slice(0, splice[0]) + splice[2] + text.slice(splice[1]) : text;
}
