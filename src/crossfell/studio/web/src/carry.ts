// Carrying: a selection is dragged over or under its neighbours, or a band up or down. The server
// says what would happen; a ghost shows it; dropping makes the edit that the server named.

import type { BandDragged, Dragged, Edit, Selection } from "./api";
import type { Store } from "./store";

const REST_MS = 600;

export interface Carried { kind: "units" | "band"; over: boolean; told: Dragged | null; band: BandDragged | null }

export class Carry {
  now: Carried | null = null;
  private asking = false;
  private next: (() => Promise<void>) | null = null;
  private selection: Selection | null = null;
  private steps = 0;
  private resting = 0;

  constructor(private readonly store: Store, private readonly changed: () => void) {}

  /** Take up the selection. */
  lift(selection: Selection): void {
    this.selection = { ...selection };
    this.steps = 0;
    this.now = { kind: "units", over: true, told: null, band: null };
    this.changed();
  }

  liftBand(): void {
    this.now = { kind: "band", over: true, told: null, band: null };
    this.changed();
  }

  /** Move it to a point of the picture (mm), or by a number of places. */
  move(to: { from_x: number; to_x: number } | { by: number }, over: boolean): void {
    const selection = this.selection;
    if (!this.now || !selection) return;
    this.now.over = over;
    this.ask(async () => {
      const told = await this.store.try<Dragged>("drag", { ...selection, ...to, over, seen: this.store.seen });
      this.store.sheets.take(told.drawn); // they are there when it is dropped
      if (!this.now) return;
      this.now = { ...this.now, over, told };
      this.store.trial = told.numbers ?? null;
      this.store.trialLater = null;
      this.rest({ ...selection, ...to, over });
      if (told.refused) this.store.say(told.refused);
      else this.store.say(told.by === 0 ? "Where it was" : (told.says ?? ""));
      this.changed();
    });
  }

  /** When the hand rests: hours and price too. */
  private rest(asked: object): void {
    clearTimeout(this.resting);
    this.resting = window.setTimeout(() => {
      this.store.try<Dragged>("drag", { ...asked, later: true }).then(
        (told) => {
          if (!this.now) return;
          this.store.trialLater = told.later ?? null;
          this.store.tell();
        },
        (problem: unknown) => this.store.complain(problem),
      );
    }, REST_MS);
  }

  /** By the keyboard: one place further; what passes nobody stays where it was. */
  step(by: number): void {
    this.steps += by;
    this.move({ by: this.steps }, this.now?.over ?? true);
  }

  turnSide(): void {
    if (!this.now) return;
    this.move({ by: this.steps }, !this.now.over);
  }

  moveBand(band: number, from_y: number, to_y: number): void {
    this.ask(async () => {
      const told = await this.store.try<BandDragged>("drag-band", { band, from_y, to_y });
      if (!this.now) return;
      this.now = { ...this.now, band: told };
      this.store.say(told.says);
      this.changed();
    });
  }

  /** Let go: the edit is made; the selection goes with the units. */
  async drop(): Promise<void> {
    await this.settled();
    const now = this.now;
    const edit: Edit | null | undefined = now?.kind === "band" ? now.band?.edit : now?.told?.edit;
    if (!edit) return this.cancel();
    this.putDown();
    const lands = now?.told?.lands;
    if (lands && this.store.selection) {
      this.store.selection = { ...this.store.selection, first: lands[0], last: lands[1] };
    }
    await this.store.edit(edit, now?.told?.slices);
  }

  private putDown(): void {
    clearTimeout(this.resting);
    this.now = null;
    this.next = null;
    this.changed();
  }

  cancel(): void {
    this.putDown();
    this.store.trial = null;
    this.store.trialLater = null;
    this.store.tell();
  }

  private async settled(): Promise<void> {
    while (this.asking) await new Promise((resolve) => setTimeout(resolve, 4));
  }

  /** One question at a time; of those that come meanwhile only the last is asked. */
  private ask(question: () => Promise<void>): void {
    if (this.asking) {
      this.next = question;
      return;
    }
    this.asking = true;
    question()
      .catch((problem: unknown) => this.store.complain(problem))
      .finally(() => {
        this.asking = false;
        const next = this.next;
        this.next = null;
        if (next && this.now) this.ask(next);
      });
  }
}
