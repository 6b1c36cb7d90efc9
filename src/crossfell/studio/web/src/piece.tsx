// One piece: its picture, large; beside it the work, the text, the findings, the history.

import { useEffect, useMemo, useState } from "preact/hooks";
import { WINDOW, type Finding } from "./api";
import type { Told } from "./events";
import { DisagreementDialog } from "./disagreement";
import { Findings } from "./findings";
import { History } from "./history";
import { HungArea, SHAPES, type Shape } from "./hung";
import { Making } from "./making";
import { Numbers } from "./numbers";
import { Icon, useStore } from "./parts";
import { PictureArea } from "./picture";
import { SpaceView } from "./spaceview";
import { Store } from "./store";
import { TextLater } from "./textlater";
import { Work } from "./work";
import { Workshop } from "./workshop";

const PANELS = { work: "Work", text: "Text", findings: "Findings", workshop: "Workshop", history: "History", make: "Make" } as const;
type Panel = keyof typeof PANELS;
const VIEWS = { front: "From the front", behind: "From behind", loom: "On the loom" };
const SPACE = "space";
const NARROW = "(max-width: 40rem)"; // as in the style: the panel lies below the picture
/** A note on what lies outside the folder: it has no place in the text. */
const ASIDE: Finding = { code: "outside", severity: "advice", line: 0, column: 0, length: 0, file: "", span: null, says: "", known: "", instead: "", remedy: null };

interface Props { piece: string; event: Told | null; connected: boolean }

export function PieceScreen({ piece, event, connected }: Props) {
  const store = useMemo(() => new Store(piece), [piece]);
  const [panel, setPanel] = useState<Panel>("work");
  const [inSpace, setInSpace] = useState(false);
  const [shape, setShape] = useState<Shape>("drawn");
  const [line, setLine] = useState<{ line: number; column: number; length: number } | null>(null);
  useStore(store);
  useEffect(() => {
    if (connected) void store.load();
  }, [store, connected]);
  useEffect(() => {
    const elsewhere = event?.event === "piece" && event.piece === piece && event.by !== WINDOW;
    const outside = event?.by === "another program";
    if (elsewhere && (event.revision !== store.revision || event.workshop || outside)) {
      void store.load().then(() => {
        if (outside) store.say("The draft or its workshop was changed elsewhere; this is how it is now.");
        else if (event.workshop) store.say("The workshop was changed for another piece; this one reads it too.");
      });
    }
  }, [event]);
  const state = store.state;
  useEffect(() => {
    document.title = `${store.title} · Crossfell`;
  }, [store.title]);
  const hanging = shape !== "drawn" && !inSpace && store.view !== "loom" && state?.computable === true;
  const notes = (store.later?.revision === store.revision ? store.later.notes : state?.notes) ?? [];
  const outside = state?.outside ? [{ ...ASIDE, ...state.outside }] : [];
  const findings = [...notes, ...outside];
  const show = (where: { line: number; column: number; length: number }) => {
    setPanel("text");
    setLine({ ...where });
  };
  const keys = (e: KeyboardEvent) => {
    const inText = (e.target as HTMLElement).closest("input, textarea, select, .text-holder");
    if ((e.ctrlKey || e.metaKey) && !inText && e.key.toLowerCase() === "z") {
      e.preventDefault();
      void (e.shiftKey ? store.redo() : store.undo());
    }
  };
  return (
    <div class={`piece panel-${panel}`} onKeyDown={keys} aria-busy={state === null}>
      <header class="piece-head">
        <a class="button quiet" href="#/"><Icon name="back" />Pieces</a>
        <h1>{store.title}</h1>
        <div class="row tools">
          <button type="button" disabled={!state?.undo} onClick={() => void store.undo()} title={state?.undo ?? ""}><Icon name="undo" />Undo</button>
          <button type="button" disabled={!state?.redo} onClick={() => void store.redo()} title={state?.redo ?? ""}><Icon name="redo" />Redo</button>
          {state?.computable && (
            <a class="button quiet" href={`/loom/${encodeURIComponent(store.piece.replaceAll("/", "~"))}/`}>At the loom</a>
          )}
          <label class="pick">
            <span class="unseen">Look</span>
            <select
              value={inSpace ? SPACE : store.view}
              onChange={(e) => {
                const view = e.currentTarget.value;
                setInSpace(view === SPACE);
                if (view !== SPACE) void store.look(view, store.style);
              }}
            >
              {Object.entries(VIEWS).map(([view, words]) => <option key={view} value={view}>{words}</option>)}
              <option value={SPACE} disabled={!state?.computable}>In space</option>
            </select>
          </label>
          <label class="pick">
            <span class="unseen">Hanging</span>
            <select value={shape} disabled={inSpace || store.view === "loom" || !state?.computable} onChange={(e) => setShape(e.currentTarget.value as Shape)}>
              {Object.entries(SHAPES).map(([name, words]) => <option key={name} value={name}>{words}</option>)}
            </select>
          </label>
          <label class="pick">
            <span class="unseen">Colours</span>
            <select value={store.style} disabled={inSpace || hanging} onChange={(e) => void store.look(store.view, e.currentTarget.value)}>
              <option value="full">In colour</option>
              <option value="line">Black and white</option>
            </select>
          </label>
        </div>
      </header>
      <main class="piece-main">
        {inSpace && state?.computable ? <SpaceView store={store} /> : hanging ? <HungArea store={store} shape={shape} /> : <PictureArea store={store} />}
      </main>
      <aside class="panel" aria-label="Beside the picture">
        <div class="tabs" role="tablist" aria-label="Beside the picture">
          {Object.entries(PANELS).map(([name, words]) => (
            <button
              key={name} type="button" role="tab" id={`tab-${name}`} aria-selected={panel === name}
              aria-controls="panel" tabIndex={panel === name ? 0 : -1} data-panel={name}
              onClick={() => {
                setPanel(name as Panel);
                if (matchMedia(NARROW).matches) document.getElementById(`tab-${name}`)?.scrollIntoView({ block: "start" });
              }} onKeyDown={(e) => turnTab(e, panel, setPanel)}
            >
              {words}
              {name === "findings" && findings.length > 0 && <span class="count">{findings.length}</span>}
            </button>
          ))}
        </div>
        <div id="panel" role="tabpanel" aria-labelledby={`tab-${panel}`} class="panel-body" tabIndex={-1}>
          {panel === "work" && <Work store={store} />}
          {panel === "text" && <TextLater store={store} findings={findings} line={line} />}
          {panel === "findings" && <Findings store={store} findings={findings} show={show} complete={!state?.computable || store.later?.revision === store.revision} />}
          {panel === "workshop" && <Workshop store={store} />}
          {panel === "history" && <History store={store} />}
          {panel === "make" && <Making store={store} />}
        </div>
      </aside>
      <Numbers store={store} show={show} />
      <p class="said" role="status" aria-live="polite">{store.said}</p>
      {store.trouble && <p class="trouble floating" role="alert">{store.trouble}</p>}
      {state?.fault && <p class="trouble floating" role="alert">{state.fault}</p>}
      {store.disagreement && <DisagreementDialog store={store} disagreement={store.disagreement} />}
    </div>
  );
}

function turnTab(e: KeyboardEvent, panel: Panel, set: (panel: Panel) => void): void {
  const names = Object.keys(PANELS) as Panel[];
  const by = { ArrowRight: 1, ArrowLeft: -1 }[e.key];
  if (!by) return;
  e.preventDefault();
  const next = names[(names.indexOf(panel) + by + names.length) % names.length] ?? panel;
  set(next);
  document.getElementById(`tab-${next}`)?.focus();
}
