// Her yarns, from front to back: what she paints with, and how many units there are of each.

import { ANY, WALL } from "./cells";
import { Icon, Swatch, useStore } from "./parts";
import type { SketchStore } from "./sketchstore";

export function SketchYarns({ store }: { store: SketchStore }) {
  useStore(store);
  const { yarns, front, least, counts, source } = store.kept;
  const units = (colour: number) => store.answer?.counts.find((row) => row.colour === colour)?.units ?? 0;
  const count = (index: number) => counts?.[index] ?? units(index === yarns.length ? WALL : index);
  const set = (index: number, value: number) => {
    const all = [...yarns.map((_, k) => count(k)), count(yarns.length)];
    all[index] = value;
    store.want({ counts: all });
  };
  const forward = (at: number, by: number) => {
    const order = [...front];
    const [moved] = order.splice(at, 1);
    if (moved !== undefined) order.splice(at + by, 0, moved);
    store.want({ front: order });
  };
  const units_of = (index: number, name: string) => (
    <input type="number" class="sketch-count" min={0} max={store.places} value={count(index)} aria-label={`Units: ${name}`}
      onChange={(e) => set(index, Math.max(0, Math.round(e.currentTarget.valueAsNumber) || 0))} />
  );
  return (
    <section class="sketch-yarns" aria-label="Yarns">
      <label class="field">Yarns and loom from
        <select value={source} onChange={(e) => store.lend(e.currentTarget.value)}>
          {store.sources.map((one) => <option key={one.source} value={one.source}>{one.says}</option>)}
        </select>
      </label>
      <h2>From front to back</h2>
      <ul>
        {front.map((k, at) => {
          const yarn = yarns[k];
          return yarn && (
            <li key={yarn.name}>
              <Paint store={store} colour={k} swatch={yarn.colour} says={yarn.name} />
              {units_of(k, yarn.name)}
              <button type="button" class="quiet square" disabled={at === 0 || least} aria-label={`${yarn.name} further to the front`} onClick={() => forward(at, -1)}><Icon name="up" /></button>
              <button type="button" class="quiet square" disabled={at === front.length - 1 || least} aria-label={`${yarn.name} further back`} onClick={() => forward(at, 1)}><Icon name="down" /></button>
            </li>
          );
        })}
        <li><Paint store={store} colour={WALL} swatch="#f4f1ea" says="Bare wall" />{units_of(yarns.length, "open places")}</li>
        <li><Paint store={store} colour={ANY} swatch="none" says="Does not matter" /></li>
      </ul>
      <label class="check"><input type="checkbox" checked={counts === null} onChange={(e) => store.want({ counts: e.currentTarget.checked ? null : [...yarns.map((_, k) => count(k)), count(yarns.length)] })} />
        As many units as painted</label>
      <label class="check"><input type="checkbox" checked={least} onChange={(e) => store.want({ least: e.currentTarget.checked })} />
        In front goes who makes the fewest lifts</label>
      <Another store={store} />
    </section>
  );
}

function Paint({ store, colour, swatch, says }: { store: SketchStore; colour: number; swatch: string; says: string }) {
  return (
    <button type="button" class="sketch-paint" aria-pressed={store.colour === colour && store.tool !== "picture"} onClick={() => store.choose(colour)}>
      <Swatch colour={swatch} />{says}
    </button>
  );
}

function Another({ store }: { store: SketchStore }) {
  const submit = (event: SubmitEvent) => {
    event.preventDefault();
    const form = event.currentTarget as HTMLFormElement;
    const said = new FormData(form);
    store.add({ name: String(said.get("name")), colour: String(said.get("colour")), own: true });
    form.reset();
  };
  if (store.kept.yarns.length >= 8) return null;
  return (
    <details>
      <summary>Another yarn</summary>
      <form class="row" onSubmit={submit}>
        <label class="field">Name<input name="name" required pattern="[A-Za-z][A-Za-z0-9_\-]*" maxLength={30} title="letters, numbers and hyphens" autocomplete="off" /></label>
        <label class="field colour">Colour<input type="color" name="colour" defaultValue="#7a8f5a" /></label>
        <button>Add</button>
      </form>
    </details>
  );
}
