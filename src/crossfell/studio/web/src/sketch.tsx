// The page *Sketch*: what she paints, beside it what her units can show of it.

import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { pieceAddress } from "./app";
import { Icon, useStore } from "./parts";
import { drawRibbons } from "./sketchdraw";
import { SketchGrid } from "./sketchgrid";
import { SketchStore, type Tool } from "./sketchstore";
import { SketchYarns } from "./sketchyarns";

const TOOLS: [Tool, string][] = [["brush", "Brush"], ["line", "Line"], ["fill", "Fill"]];

export function SketchScreen() {
  const store = useMemo(() => new SketchStore(), []);
  useStore(store);
  const [dots, setDots] = useState(true);
  const { kept } = store;
  useEffect(() => {
    document.title = "Sketch · Crossfell";
    void store.begin();
    return () => store.end();
  }, [store]);
  const drop = (event: DragEvent) => {
    event.preventDefault();
    const file = event.dataTransfer?.files[0];
    if (file) void store.drop(file);
  };
  const keep = async () => {
    const piece = await store.keep();
    if (piece !== null) location.hash = pieceAddress(piece);
  };
  return (
    <main class="sketch" onDragOver={(e) => e.preventDefault()} onDrop={drop} aria-busy={store.answer === null}>
      <header class="piece-head">
        <a class="button quiet" href="#/"><Icon name="back" />Pieces</a>
        <h1>Sketch</h1>
        <label class="field sketch-title">Title<input value={kept.title} maxLength={80} onChange={(e) => store.want({ title: e.currentTarget.value })} /></label>
        <button type="button" class="main" disabled={!store.answer || !!store.trouble} onClick={() => void keep()}>Keep as a draft</button>
      </header>
      {store.trouble && <p class="trouble" role="alert">{store.trouble}</p>}
      <div class="sketch-desk">
        <SketchYarns store={store} />
        <section class="sketch-drawing" aria-label="What you paint">
          <Tools store={store} dots={dots} setDots={setDots} />
          {store.under && store.tool === "picture" && <Placing store={store} />}
          <SketchGrid store={store} dots={dots} />
        </section>
        <ShownSide store={store} />
      </div>
    </main>
  );
}

function Tools({ store, dots, setDots }: { store: SketchStore; dots: boolean; setDots: (yes: boolean) => void }) {
  const file = useRef<HTMLInputElement>(null);
  return (
    <>
      <div class="row sketch-tools" role="group" aria-label="Tools">
        {TOOLS.map(([tool, says]) => (
          <button key={tool} type="button" aria-pressed={store.tool === tool} onClick={() => store.take(tool)}>{says}</button>
        ))}
        <button type="button" aria-pressed={store.mirror} onClick={() => store.mirrored(!store.mirror)}>Mirror</button>
        <button type="button" disabled={!store.canUndo} onClick={() => store.undo()}><Icon name="undo" />Undo</button>
        <button type="button" disabled={!store.canRedo} onClick={() => store.redo()}><Icon name="redo" />Redo</button>
        <button type="button" onClick={() => file.current?.click()}>Picture…</button>
        {store.under && <button type="button" aria-pressed={store.tool === "picture"} onClick={() => store.take("picture")}>Move the picture</button>}
        <input ref={file} type="file" hidden accept="image/png,image/jpeg,image/webp,image/svg+xml" aria-label="Picture file"
          onChange={(e) => {
            const chosen = e.currentTarget.files?.[0];
            if (chosen) void store.drop(chosen);
            e.currentTarget.value = "";
          }} />
      </div>
      <div class="row sketch-size">
        <Whole label="Places" value={store.places} low={2} high={200} put={(n) => store.size(store.bands, n)} />
        <Whole label="Bands" value={store.bands} low={2} high={200} put={(n) => store.size(n, store.places)} />
        <Whole label="Span, mm" value={store.kept.height} low={10} high={2000} put={(height) => store.want({ height })} />
        <label class="check"><input type="checkbox" checked={dots} onChange={(e) => setDots(e.currentTarget.checked)} />Dots where units show another yarn</label>
      </div>
    </>
  );
}

function Whole({ label, value, low, high, put }: { label: string; value: number; low: number; high: number; put: (n: number) => void }) {
  const change = (said: number) => Number.isFinite(said) && put(Math.max(low, Math.min(high, Math.round(said))));
  return (
    <label class="field">{label}
      <input type="number" min={low} max={high} value={value} onChange={(e) => change(e.currentTarget.valueAsNumber)} />
    </label>
  );
}

/** Where the picture lies under the grid; dragged, it moves. */
function Placing({ store }: { store: SketchStore }) {
  const box = store.under?.box;
  if (!box) return null;
  const scale = (side: "width" | "height", value: number) => {
    const from = side === "width" ? "left" : "top";
    void store.place({ ...box, [side]: value, [from]: box[from] + (box[side] - value) / 2 });
  };
  return (
    <div class="row sketch-placing">
      <p class="small">Drag the picture, or move it with arrows. Cells are drawn square; true to its sides, it is as wide and high in the piece as it is. Choose a yarn to paint on.</p>
      {(["width", "height"] as const).map((side) => (
        <label key={side} class="slide">{side === "width" ? "Width" : "Height"}
          <input type="range" min={0.1} max={3} step={0.01} value={box[side]} onInput={(e) => scale(side, e.currentTarget.valueAsNumber)} />
        </label>
      ))}
      <button type="button" onClick={() => store.trueSides()}>True to its sides</button>
      <button type="button" onClick={() => void store.place({ left: 0, top: 0, width: 1, height: 1 })}>Stretch</button>
    </div>
  );
}

const WORKING = { "": "", stretch: "Improving, stretch by stretch…", whole: "Solving the whole, for its bound…" };
const ROOM = { width: 300, height: 560 }; // px for the piece

function ShownSide({ store }: { store: SketchStore }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const { answer, kept } = store;
  useEffect(() => {
    if (!answer || !canvas.current) return;
    const scale = Math.min(ROOM.width / answer.width, ROOM.height / answer.height);
    drawRibbons(canvas.current, answer.ribbons, kept.yarns, answer.width * scale, answer.height * scale);
  }, [answer, kept.yarns]);
  return (
    <section class="sketch-shown" aria-label="What units show">
      <div class={store.trouble ? "sketch-ribbons dim" : "sketch-ribbons"}>
        <canvas ref={canvas} role="img" aria-label="The piece as ribbons, at its proportions" />
      </div>
      <div class="sketch-says">
        <label class="sketch-easy">
          <span>Like it</span>
          <input type="range" min={0} max={1} step={0.05} value={kept.easy} aria-label="From like it to easy to lay" onChange={(e) => store.want({ easy: e.currentTarget.valueAsNumber })} />
          <span>Easy to lay</span>
        </label>
        <label class="check"><input type="checkbox" checked={kept.brace} onChange={(e) => store.want({ brace: e.currentTarget.checked })} />
          Brace: two units of one yarn cross where nothing moves</label>
        <p class="sketch-working" role="status">{WORKING[store.working] || (answer?.proved ? "Proved best." : "")}</p>
        <ul>{answer?.says.map((says) => <li key={says}>{says}</li>)}</ul>
      </div>
    </section>
  );
}
