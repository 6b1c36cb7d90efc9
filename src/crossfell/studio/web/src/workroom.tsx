// The workshop's file as a whole: beginning one, going back and forth in what was done to it.

import { useState } from "preact/hooks";
import type { Tables } from "./api";
import { Dialog, Icon } from "./parts";
import type { Store } from "./store";
import { when } from "./when";

export function WorkshopFile({ store, told }: { store: Store; told: Tables }) {
  const [beginning, setBeginning] = useState(false);
  const file = told.workshop;
  if (!file) {
    return (
      <div class="aside">
        <p>There is no workshop.toml yet. It holds what all your pieces share: yarns, strips, weights, rods, rates and what is in stock.</p>
        <button type="button" onClick={() => setBeginning(true)}>Begin a workshop with the tables of this piece</button>
        {beginning && <Begin store={store} file={told.file} close={() => setBeginning(false)} />}
      </div>
    );
  }
  const walk = (way: string) => void store.workshop(`workshop-${way}`, {});
  return (
    <div class="aside">
      <div class="row">
        <button type="button" disabled={!file.undo} onClick={() => walk("undo")}><Icon name="undo" />Undo<span class="unseen"> in the workshop</span></button>
        <button type="button" disabled={!file.redo} onClick={() => walk("redo")}><Icon name="redo" />Redo<span class="unseen"> in the workshop</span></button>
      </div>
      <details class="plain">
        <summary>What was done in {file.file}</summary>
        <ol class="recent">
          {file.recent.map((state) => (
            <li key={state.revision}>
              <span>{state.what}<small class="soft"> {when(state.made)}</small></span>
              {state.revision === file.revision
                ? <b>now</b>
                : <button type="button" class="quiet" onClick={() => void store.workshop("workshop-restore", { revision_wanted: state.revision })}>Bring back<span class="unseen">: {state.what}</span></button>}
            </li>
          ))}
        </ol>
      </details>
    </div>
  );
}

function Begin({ store, file, close }: { store: Store; file: string; close: () => void }) {
  const begin = (e: SubmitEvent) => {
    e.preventDefault();
    const move = new FormData(e.currentTarget as HTMLFormElement).get("how") === "move";
    void store.workshop("workshop-begin", { move, revision: store.revision });
    close();
  };
  return (
    <Dialog title="Begin a workshop" close={close}>
      <form onSubmit={begin}>
        <p>The yarns, strips, loom, adhesive, stock and rates of {file} go into a new workshop.toml, with their remarks. Pieces beside it read it too, for whatever they do not say themselves.</p>
        <label class="choice"><input type="radio" name="how" value="move" defaultChecked /><span>They leave the piece: from then on the workshop says them, for all pieces.</span></label>
        <label class="choice"><input type="radio" name="how" value="keep" /><span>The piece keeps its own as well: what it says wins.</span></label>
        <p class="soft">Undo brings the piece back as it was; workshop.toml stays.</p>
        <p class="row end"><button class="main">Begin it</button></p>
      </form>
    </Dialog>
  );
}
