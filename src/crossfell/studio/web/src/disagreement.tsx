// Two changes in the same place: both are shown, she chooses or writes it together.

import { useState } from "preact/hooks";
import type { Disagreement } from "./api";
import type { Store } from "./store";
import { Dialog } from "./parts";

export function DisagreementDialog({ store, disagreement }: { store: Store; disagreement: Disagreement }) {
  const [mine, setMine] = useState(disagreement.mine);
  const rows = differing(disagreement.mine, disagreement.theirs);
  const close = () => {
    store.disagreement = null;
    store.tell();
  };
  return (
    <Dialog title="Changed in two ways" close={close} wide>
      <p>While you worked, {disagreement.workshop_revision === undefined ? "this draft" : "the workshop"} was changed in the same place by another window or program. Nothing was written over: choose, or write both together on the left.</p>
      <p class="soft">They differ {rows.first === rows.last ? `in line ${rows.first}` : `from line ${rows.first} to line ${rows.last}`}.</p>
      <div class="side-by-side">
        <label class="field">Mine<textarea value={mine} onInput={(e) => setMine(e.currentTarget.value)} spellcheck={false} /></label>
        <label class="field">What is there now<textarea value={disagreement.theirs} readOnly spellcheck={false} /></label>
      </div>
      <p class="row end">
        <button type="button" onClick={close}>Keep what is there now</button>
        <button type="button" class="main" onClick={() => void store.settle(mine)}>Take the left one</button>
      </p>
    </Dialog>
  );
}

function differing(mine: string, theirs: string): { first: number; last: number } {
  const a = mine.split("\n");
  const b = theirs.split("\n");
  let first = 0;
  while (first < Math.min(a.length, b.length) && a[first] === b[first]) first += 1;
  let end = 0;
  while (end < Math.min(a.length, b.length) - first && a[a.length - 1 - end] === b[b.length - 1 - end]) end += 1;
  return { first: first + 1, last: Math.max(a.length - end, first + 1) };
}
