// The screen of the piece in space: as drawn, as it hangs, or both; a lamp that can be moved.

import { useEffect, useRef, useState } from "preact/hooks";
import { Icon, useStore } from "./parts";
import type { Lamp, Space } from "./space";
import type { Store } from "./store";

const SHAPES = { drawn: "As drawn", hung: "As it hangs", both: "Both" };
type Shape = keyof typeof SHAPES;

export function SpaceView({ store }: { store: Store }) {
  const holder = useRef<HTMLDivElement>(null);
  const space = useRef<Space | null>(null);
  const [shape, setShape] = useState<Shape>("drawn");
  const [lamp, setLamp] = useState<Lamp>({ side: -0.55, height: 0.85, distance: 0.45 });
  const [state, setState] = useState("Making the model…");
  useStore(store);
  useEffect(() => {
    let over = false;
    const shapes = shape === "both" ? ["drawn", "hung"] : [shape];
    const addresses = shapes.map((s) => `/model.glb?${new URLSearchParams({ piece: store.piece, shape: s, r: String(store.revision) })}`);
    const work = async () => {
      const { Space } = await import("./space");
      if (over || !holder.current) return;
      space.current ??= new Space(holder.current);
      setState("Making the model…");
      await space.current.show(addresses, lamp);
      setState("");
    };
    work().catch((problem: unknown) => setState(`The model cannot be shown here: ${problem instanceof Error ? problem.message : String(problem)}`));
    return () => {
      over = true;
    };
  }, [shape, store.revision]);
  useEffect(() => space.current?.lamp(lamp), [lamp]);
  useEffect(() => () => space.current?.close(), []);
  const keys = (e: KeyboardEvent) => {
    const turns: Record<string, [number, number, number]> = {
      ArrowLeft: [-0.12, 0, 1], ArrowRight: [0.12, 0, 1], ArrowUp: [0, 0.1, 1], ArrowDown: [0, -0.1, 1],
      "+": [0, 0, 0.85], "=": [0, 0, 0.85], "-": [0, 0, 1.18],
    };
    const turn = turns[e.key];
    if (turn) space.current?.turn(...turn);
    else if (e.key === "0") space.current?.home();
    else return;
    e.preventDefault();
  };
  const slide = (name: keyof Lamp, words: string, least: number) => (
    <label class="slide">{words}
      <input type="range" min={least} max={1} step={0.02} value={lamp[name]} onInput={(e) => setLamp({ ...lamp, [name]: Number(e.currentTarget.value) })} />
    </label>
  );
  return (
    <div class="space">
      <div
        ref={holder} class="space-holder" tabIndex={0} role="application" aria-roledescription="model of the piece"
        aria-label={`${store.state?.title ?? ""}, in space, on its wall`} aria-describedby="space-keys" onKeyDown={keys}
      />
      <p id="space-keys" class="unseen">Arrow keys walk round it, plus and minus come nearer and go back, 0 looks from the front.</p>
      {state && <p class="waiting over" role="status">{state}</p>}
      <div class="space-tools">
        <div class="row">
          {Object.entries(SHAPES).map(([name, words]) => (
            <button key={name} type="button" aria-pressed={shape === name} onClick={() => setShape(name as Shape)}>{words}</button>
          ))}
          <button type="button" class="square" aria-label="From the front" onClick={() => space.current?.home()}><Icon name="fit" /></button>
        </div>
        <fieldset class="row lamp"><legend>Lamp</legend>
          {slide("side", "left to right", -1)}{slide("height", "low to high", 0)}{slide("distance", "near to far", 0)}
        </fieldset>
      </div>
    </div>
  );
}
