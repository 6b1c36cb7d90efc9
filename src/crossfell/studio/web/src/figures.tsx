// The page *Figures*: the best of a size side by side; more like one, or a piece begun with it.

import { useEffect, useRef, useState } from "preact/hooks";
import { call, Refused } from "./api";
import { pieceAddress } from "./app";
import { Icon } from "./parts";
import { drawRibbons } from "./sketchdraw";
import type { Ribbons } from "./sketchstore";

interface Figure { name: string; says: string; symmetric: boolean; text: string; ribbons: Ribbons }
interface Gallery { says: string; inks: string[]; figures: Figure[] }

const LOOKS = { "": "worth looking at", alternating: "over, under, over", open: "open", dense: "dense", easy: "easy", rich: "rich", symmetric: "symmetric" };
const ENDS = { closed: "as they began", mirrored: "mirrored" };
const ROOM = { width: 150, height: 230 }; // px of a picture

export function FiguresScreen() {
  const [asked, setAsked] = useState({ places: 4, spans: 3, ends: "closed", look: "", like: "" });
  const [gallery, setGallery] = useState<Gallery | null>(null);
  const [trouble, setTrouble] = useState("");
  const guarded = async (work: () => Promise<void>) => {
    try {
      await work();
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      setTrouble(problem.message);
    }
  };
  useEffect(() => {
    document.title = "Figures · Crossfell";
    let wanted = true; // an answer to what she no longer asks is not shown
    void guarded(async () => {
      const found = await call<Gallery>("figures", asked);
      if (!wanted) return;
      setGallery(found);
      setTrouble("");
    });
    return () => {
      wanted = false;
    };
  }, [asked]);
  const begin = (name: string) => guarded(async () => {
    location.hash = pieceAddress((await call<{ piece: string }>("figure-begin", { name })).piece);
  });
  const ask = (change: object) => setAsked({ ...asked, like: "", ...change });
  return (
    <main class="figures" aria-busy={gallery === null}>
      <header class="row">
        <a class="button quiet" href="#/"><Icon name="back" />Pieces</a>
        <h1>Figures</h1>
      </header>
      <div class="row figures-asked">
        <Choice label="Places" value={asked.places} of={{ 2: "2", 3: "3", 4: "4", 5: "5", 6: "6" }} put={(v) => ask({ places: Number(v) })} />
        <Choice label="Spans" value={asked.spans} of={{ 1: "1", 2: "2", 3: "3", 4: "4" }} put={(v) => ask({ spans: Number(v) })} />
        <Choice label="They end" value={asked.ends} of={ENDS} put={(ends) => ask({ ends })} />
        <Choice label="First those that are" value={asked.look} of={LOOKS} put={(look) => ask({ look })} />
      </div>
      {trouble && <p class="trouble" role="alert">{trouble}</p>}
      <p role="status">{asked.like && `Like ${asked.like}: `}{gallery?.says}{gallery?.figures.length === 0 && " None of them joins all its places."}</p>
      <ul class="figures-shown">
        {gallery?.figures.map((one) => (
          <li key={one.name}>
            <Small figure={one} inks={gallery.inks} />
            <h2>{one.name}</h2>
            <p class="small">{one.says}{one.symmetric && ", symmetric"}</p>
            <details><summary>As a draft says it</summary><pre tabIndex={0} aria-label={`Text of ${one.name}`}><code>{one.text}</code></pre></details>
            <div class="row">
              <button type="button" onClick={() => setAsked({ ...asked, like: one.name })} aria-label={`More like this: ${one.name}`}>More like this</button>
              <button type="button" onClick={() => void begin(one.name)} aria-label={`Begin a piece with ${one.name}`}>Begin a piece</button>
            </div>
          </li>
        ))}
      </ul>
    </main>
  );
}

function Small({ figure, inks }: { figure: Figure; inks: string[] }) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const yarns = inks.map((colour) => ({ name: colour, colour, own: true }));
    if (canvas.current) drawRibbons(canvas.current, figure.ribbons, yarns, ROOM.width, ROOM.height);
  }, [figure, inks]);
  return <div class="sketch-ribbons"><canvas ref={canvas} role="img" aria-label={`${figure.name}, laid twice`} /></div>;
}

interface ChoiceProps { label: string; value: string | number; of: Record<string, string>; put: (value: string) => void }

function Choice({ label, value, of, put }: ChoiceProps) {
  return (
    <label class="field">{label}
      <select value={String(value)} onChange={(e) => put(e.currentTarget.value)}>
        {Object.entries(of).map(([key, says]) => <option key={key} value={key}>{says}</option>)}
      </select>
    </label>
  );
}
