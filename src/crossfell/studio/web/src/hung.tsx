// The flat picture of the piece as it hangs, alone or over the drawn one. While it is worked out, the
// drawn one stays; to work on the piece she goes back to that.

import { useEffect, useState } from "preact/hooks";
import { Refused } from "./api";
import { Icon, useStore } from "./parts";
import { PictureArea } from "./picture";
import type { Store } from "./store";

export const SHAPES = { drawn: "As drawn", hung: "As it hangs", both: "Both" };
export type Shape = keyof typeof SHAPES;
const TIMES = ["1", "5", "20"]; // movements and bows so many times as large

export function HungArea({ store, shape }: { store: Store; shape: Shape }) {
  const [address, setAddress] = useState("");
  const [times, setTimes] = useState("1");
  const [note, setNote] = useState("");
  const [wide, setWide] = useState<number | "whole" | null>(null); // percent of the room; null reads well
  useStore(store);
  useEffect(() => {
    let over = false;
    const look = async () => {
      setAddress("");
      setNote("Working out how it hangs; the drawn piece stays meanwhile.");
      const { key } = await store.try<{ key: string }>("hung", {});
      const image = new Image();
      image.src = `/hung/${shape}.svg?${new URLSearchParams({ piece: store.piece, view: store.view, times, v: key })}`;
      await image.decode();
      if (over) return;
      setAddress(image.src);
      setNote("");
    };
    look().catch((problem: unknown) => {
      if (!over) setNote(problem instanceof Refused ? `No picture of it as it hangs: ${problem.message}` : "The picture did not come.");
    });
    return () => {
      over = true;
    };
  }, [shape, times, store.view, store.revision]);
  if (!address) {
    return (
      <div class="hung-waiting">
        <PictureArea store={store} />
        <p class="hung-note" role="status">{note}</p>
      </div>
    );
  }
  const zoom = (by: number) => setWide(Math.min(400, Math.max(20, (typeof wide === "number" ? wide : 80) * by)));
  const from = store.view === "behind" ? "from behind" : "from the front";
  return (
    <div class="picture hung">
      <div class="sheet-box" tabIndex={0} role="region" aria-label="The piece as it hangs">
        <img
          src={address} data-shape={shape} data-times={times} class={wide === "whole" ? "whole" : ""} style={typeof wide === "number" ? { width: `${wide}%` } : {}}
          alt={`${store.title}, as it hangs${shape === "both" ? ", over the drawn piece in grey" : ""}, ${from}`}
        />
      </div>
      <label class="field times">Movements
        <select value={times} onChange={(e) => setTimes((e.currentTarget as HTMLSelectElement).value)}>
          {TIMES.map((n) => <option key={n} value={n}>{n === "1" ? "true to scale" : `× ${n}`}</option>)}
        </select>
      </label>
      <div class="picture-tools" role="toolbar" aria-label="Size of the picture">
        <button type="button" class="square" onClick={() => zoom(1.25)} aria-label="Larger"><Icon name="plus" /></button>
        <button type="button" class="square" onClick={() => zoom(0.8)} aria-label="Smaller"><Icon name="minus" /></button>
        <button type="button" class="square" onClick={() => setWide("whole")} aria-label="The whole piece"><Icon name="fit" /></button>
      </div>
      <p class="hint">To look at only: choose “As drawn” to work on the piece.</p>
    </div>
  );
}
