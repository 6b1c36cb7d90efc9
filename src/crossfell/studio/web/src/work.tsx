// What can be done with what is selected, as buttons; the moves of the span as they are written.

import { useState } from "preact/hooks";
import type { BandTold, Edit, Selected, Tool } from "./api";
import { Dyeing } from "./dyeing";
import { Dialog, Icon, useStore } from "./parts";
import type { Store } from "./store";

export function Work({ store }: { store: Store }) {
  useStore(store);
  const chosen = store.selected;
  if (!store.state?.computable) return <p class="soft">The draft has errors; the findings lead to them.</p>;
  return (
    <div class="work">
      {chosen ? <Chosen store={store} chosen={chosen} /> : store.band ? <Band store={store} band={store.band} /> : <Nothing store={store} />}
      <Yarns store={store} />
    </div>
  );
}

function Nothing({ store }: { store: Store }) {
  const whole = () => {
    const last = store.state?.spans?.length ?? 1;
    void store.select({ span: 1, span_to: last, first: 1, last: store.state?.warp.places ?? 1 });
  };
  return (
    <>
      <p>Point at a unit in the picture and drag it sideways over its neighbours, or a little downwards and under them.</p>
      <p class="soft">With Shift a second click takes everything between. On the picture, arrow keys choose and C carries.</p>
      <button type="button" onClick={whole}>Choose the whole piece</button>
    </>
  );
}

function Band({ store, band }: { store: Store; band: BandTold }) {
  const field = (key: "picks" | "rod" | "weft", words: string) => (
    <label class="field">{words}
      <input
        key={`${band.path} ${band[key]}`} defaultValue={band[key]} autocomplete="off" spellcheck={false}
        onChange={(e) => void store.edit({ do: "write", path: `${band.path}.${key}`, text: e.currentTarget.value })}
      />
    </label>
  );
  return (
    <>
      <h2 class="chosen">{band.says}</h2>
      {field("picks", "Picks and rods, in the order of weaving")}
      {field("rod", "Rod: material and diameter")}
      {field("weft", "Weft")}
      <p class="soft">What is written here is for this band alone; every band is set under Workshop. Drag the band up or down in the picture for another height of its span.</p>
    </>
  );
}

function Chosen({ store, chosen }: { store: Store; chosen: Selected }) {
  const where = { span: chosen.span, span_to: chosen.span_to, first: chosen.first, last: chosen.last, view: store.view };
  const one = chosen.span === chosen.span_to;
  const go = (edit: Edit) => void store.edit({ ...where, ...edit });
  const tools = store.state?.warp.tools ?? [];
  const off = (tool: Tool) => chosen.last - chosen.first + 1 < tool.least;
  return (
    <>
      <h2 class="chosen">{chosen.says}</h2>
      {one && (
        <>
          <Cross store={store} go={go} />
          <div class="pairs">
            {tools.filter((tool) => tool.goes).map((tool) => (
              <Pair key={tool.name} words={capital(tool.name)} says={tool.says} go={(side) => go({ do: tool.name, side })} off={off(tool)} />
            ))}
          </div>
          <div class="row">
            {tools.filter((tool) => !tool.goes).map((tool) => (
              <button key={tool.name} type="button" title={tool.says} disabled={off(tool)} onClick={() => go({ do: tool.name })}><Icon name="plait" />{capital(tool.name)}</button>
            ))}
            <button type="button" onClick={() => void store.select({ ...where, first: 1, last: store.state?.warp.places ?? 1 })}>All of this span</button>
          </div>
          <Height store={store} chosen={chosen} />
          <Moves store={store} chosen={chosen} />
        </>
      )}
      <Dyeing store={store} chosen={chosen} go={go} />
      <Figures store={store} chosen={chosen} go={go} />
      <Spans store={store} chosen={chosen} go={go} />
    </>
  );
}

function Cross({ store, go }: { store: Store; go: (edit: Edit) => void }) {
  const button = (over: boolean, by: number) => (
    <button type="button" class="main" onClick={() => go({ do: "cross", by, over })}>
      {by < 0 && <Icon name="left" />}{over ? "Over" : "Under"}{by > 0 && <Icon name="right" />}
      <span class="unseen"> the {by < 0 ? "left" : "right"} neighbour</span>
    </button>
  );
  void store;
  return (
    <fieldset class="cross">
      <legend>Cross the neighbour</legend>
      {button(true, -1)}{button(true, 1)}{button(false, -1)}{button(false, 1)}
    </fieldset>
  );
}

const capital = (word: string) => word.charAt(0).toUpperCase() + word.slice(1);

function Pair({ words, says, go, off }: { words: string; says: string; go: (side: string) => void; off: boolean }) {
  return (
    <fieldset class="pair" disabled={off} title={says}>
      <legend>{words}</legend>
      <button type="button" onClick={() => go("left")}><Icon name="left" /><span class="unseen">{words} to the </span>left</button>
      <button type="button" onClick={() => go("right")}><span class="unseen">{words} to the </span>right<Icon name="right" /></button>
    </fieldset>
  );
}

function Height({ store, chosen }: { store: Store; chosen: Selected }) {
  const set = (e: SubmitEvent) => {
    e.preventDefault();
    const height = String(new FormData(e.currentTarget as HTMLFormElement).get("height") ?? "");
    void store.edit({ do: "height", span: chosen.span, height });
  };
  const step = (steps: number) => void store.edit({ do: "height-step", span: chosen.span, steps });
  return (
    <form class="row height-form" onSubmit={set} key={`${chosen.span}-${chosen.height}`}>
      <label class="field">Height of span {chosen.span}<input name="height" defaultValue={chosen.height} autocomplete="off" inputMode="text" /></label>
      <button>Set</button>
      <button type="button" class="square" aria-label="Lower" onClick={() => step(-1)}><Icon name="minus" /></button>
      <button type="button" class="square" aria-label="Higher" onClick={() => step(1)}><Icon name="plus" /></button>
    </form>
  );
}

function Moves({ store, chosen }: { store: Store; chosen: Selected }) {
  const [changing, setChanging] = useState<number | null>(null);
  const said = (e: SubmitEvent) => {
    e.preventDefault();
    const form = e.currentTarget as HTMLFormElement;
    const move = String(new FormData(form).get("move") ?? "").trim();
    if (!move) return;
    const edit = changing === null ? { do: "move", span: chosen.span, move } : { do: "change-move", span: chosen.span, number: changing, move };
    void store.edit(edit).then((done) => {
      if (!done) return;
      form.reset();
      setChanging(null);
    });
  };
  return (
    <section>
      <h3>Moves of span {chosen.span}</h3>
      {chosen.moves.length === 0 && <p class="soft">None of its own; every unit goes straight up, or a figure runs on here.</p>}
      <ol class="moves">
        {chosen.moves.map((move, k) => (
          <li key={`${k}-${move}`}>
            <code>{move}</code>
            <button type="button" class="quiet" onClick={() => setChanging(k + 1)}>Change<span class="unseen"> {move}</span></button>
            <button type="button" class="quiet" onClick={() => void store.edit({ do: "remove-move", span: chosen.span, number: k + 1 })}>Take out<span class="unseen"> {move}</span></button>
          </li>
        ))}
      </ol>
      <form class="row" onSubmit={said} key={`${chosen.span}-${changing ?? "new"}`}>
        <label class="field">{changing === null ? "Write a move" : `Instead of move ${changing}`}
          <input name="move" defaultValue={changing === null ? "" : (chosen.moves[changing - 1] ?? "")} placeholder="3-4 over 5-6" autocomplete="off" spellcheck={false} />
        </label>
        <button>{changing === null ? "Add" : "Change"}</button>
      </form>
    </section>
  );
}

function Figures({ store, chosen, go }: { store: Store; chosen: Selected; go: (edit: Edit) => void }) {
  const [how, setHow] = useState({ mirrored: false, backwards: false, reversed: false });
  const [naming, setNaming] = useState(false);
  const figures = store.state?.warp.figures ?? [];
  const name = (e: SubmitEvent) => {
    e.preventDefault();
    go({ do: "make-figure", name: String(new FormData(e.currentTarget as HTMLFormElement).get("name") ?? "") });
    setNaming(false);
  };
  return (
    <section>
      <h3>Figures</h3>
      {figures.length > 0 && (
        <>
          <div class="row checks">
            {(["mirrored", "backwards", "reversed"] as const).map((word) => (
              <label key={word}><input type="checkbox" checked={how[word]} onChange={(e) => setHow({ ...how, [word]: e.currentTarget.checked })} />{word}</label>
            ))}
          </div>
          <div class="row">
            {figures.map((figure) => (
              <button key={figure.name} type="button" onClick={() => go({ do: "figure", name: figure.name, ...how })}>
                Lay {figure.name}<small class="soft">{figure.places} × {figure.spans}</small>
              </button>
            ))}
          </div>
        </>
      )}
      <div class="row">
        <button type="button" onClick={() => setNaming(true)}>Make a figure of this</button>
        <button type="button" onClick={() => go({ do: "mirror" })}>Mirror</button>
        <button type="button" onClick={() => go({ do: "reverse" })}>Reverse</button>
      </div>
      {naming && (
        <Dialog title="A figure of this" close={() => setNaming(false)}>
          <form onSubmit={name}>
            <p>{chosen.says}</p>
            <label class="field">Its name<input name="name" required maxLength={40} autocomplete="off" /></label>
            <p class="row end"><button class="main">Make it</button></p>
          </form>
        </Dialog>
      )}
    </section>
  );
}

function Spans({ store, chosen, go }: { store: Store; chosen: Selected; go: (edit: Edit) => void }) {
  const up = store.state?.picture?.up ?? 1;
  const low = Math.min(chosen.span, chosen.span_to);
  const high = Math.max(chosen.span, chosen.span_to);
  const spans = store.state?.spans?.length ?? 1;
  const [above, below] = up > 0 ? [high + 1, low] : [low, high + 1];
  const inside = (n: number) => low === high && n >= 1 && n <= spans;
  return (
    <section>
      <h3>{low === high ? `Span ${low}` : `Spans ${low} to ${high}`}</h3>
      <div class="row">
        <button type="button" onClick={() => go({ do: "insert-span", at: above })}>New above</button>
        <button type="button" onClick={() => go({ do: "insert-span", at: below })}>New below</button>
        <button type="button" onClick={() => go({ do: "copy-span" })}>Copy</button>
        <button type="button" disabled={!inside(low + up)} onClick={() => go({ do: "move-span", to: low + up })}>Move up</button>
        <button type="button" disabled={!inside(low - up)} onClick={() => go({ do: "move-span", to: low - up })}>Move down</button>
        <button type="button" class="tone-bad" onClick={() => go({ do: "delete-span" })}>Take out</button>
      </div>
    </section>
  );
}

function Yarns({ store }: { store: Store }) {
  return (
    <section>
      <h3>Yarns of the piece</h3>
      <ul class="yarns">
        {store.state?.warp.yarns.map(({ name, colour }) => (
          <li key={name}>
            <label>
              <input type="color" value={colour} onChange={(e) => void store.edit({ do: "recolour", yarn: name, colour: e.currentTarget.value })} />
              {name}
            </label>
          </li>
        ))}
      </ul>
    </section>
  );
}
