// The yarn of the units that are chosen: another one of the piece, or a new colour.

import { useState } from "preact/hooks";
import type { Edit, Selected } from "./api";
import { Dialog, Swatch } from "./parts";
import type { Store } from "./store";

interface Props { store: Store; chosen: Selected; go: (edit: Edit) => void }

export function Dyeing({ store, chosen, go }: Props) {
  const [dyeing, setDyeing] = useState<string | null>(null);
  const yarns = store.state?.warp.yarns ?? [];
  if (chosen.yarns.length === 0) return null;
  const dye = (e: SubmitEvent) => {
    e.preventDefault();
    const said = new FormData(e.currentTarget as HTMLFormElement);
    go({ do: "recolour-units", was: dyeing, colour: String(said.get("colour")), name: String(said.get("name") ?? "") });
    setDyeing(null);
  };
  const another = (e: SubmitEvent, was: string) => {
    e.preventDefault();
    go({ do: "recolour-units", was, yarn: String(new FormData(e.currentTarget as HTMLFormElement).get("yarn")) });
  };
  const old = chosen.yarns.find((yarn) => yarn.name === dyeing);
  return (
    <section>
      <h3>Yarn of {chosen.units.length === 1 ? "this unit" : "these units"}</h3>
      <ul class="dyeing">
        {chosen.yarns.map(({ name, colour, units }) => (
          <li key={name}>
            <span class="dyed"><Swatch colour={colour} />{name}{chosen.units.length > 1 && <small class="soft">{units} of {chosen.units.length}</small>}</span>
            <form class="row" onSubmit={(e) => another(e, name)}>
              <select name="yarn" aria-label={`Another yarn for ${name}`} required>
                <option value="">Another yarn…</option>
                {yarns.filter((yarn) => yarn.name !== name).map((yarn) => <option key={yarn.name} value={yarn.name}>{yarn.name}</option>)}
              </select>
              <button>Change<span class="unseen"> {name}</span></button>
            </form>
            <button type="button" onClick={() => setDyeing(name)}>New colour<span class="unseen"> for {name}</span></button>
          </li>
        ))}
      </ul>
      <p class="soft small">A unit keeps its yarn through the whole piece.</p>
      {old && (
        <Dialog title={`A new colour for ${old.name}`} close={() => setDyeing(null)}>
          <form onSubmit={dye}>
            <p>{chosen.says}</p>
            <div class="row">
              <label class="field colour">Colour<input type="color" name="colour" defaultValue={old.colour} /></label>
              <label class="field">Name of the new yarn<input name="name" maxLength={40} placeholder="the next free one" autocomplete="off" /></label>
            </div>
            <p class="soft">It is like {old.name} in all but its colour; lot and stock are its own.</p>
            <p class="row end"><button class="main">Colour them</button></p>
          </form>
        </Dialog>
      )}
    </section>
  );
}
