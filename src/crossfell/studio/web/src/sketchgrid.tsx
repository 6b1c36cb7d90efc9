// The grid that she paints on: with mouse, pen, finger or keys. What she points at is also said.

import { useEffect, useRef, useState } from "preact/hooks";
import { between, type Cell, type Cells } from "./cells";
import { useStore } from "./parts";
import { drawGrid } from "./sketchdraw";
import type { Box, SketchStore } from "./sketchstore";

const SIDE = { least: 9, most: 30 }; // px of a cell
const STEPS: Record<string, Cell> = { ArrowUp: [-1, 0], ArrowDown: [1, 0], ArrowLeft: [0, -1], ArrowRight: [0, 1] };
const TOOLS: Record<string, "brush" | "line" | "fill"> = { b: "brush", l: "line", f: "fill" };

interface Stroke { from: Cell; at: Cell; on: Cells; box: Box | null; x: number; y: number }

export function SketchGrid({ store, dots }: { store: SketchStore; dots: boolean }) {
  useStore(store);
  const room = useRef<HTMLDivElement>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const stroke = useRef<Stroke | null>(null);
  const [wide, setWide] = useState(480);
  const [cursor, setCursor] = useState<Cell | null>(null);
  const [start, setStart] = useState<Cell | null>(null); // of a line that is drawn with keys
  const { bands, places } = store;
  const side = Math.max(SIDE.least, Math.min(SIDE.most, Math.floor(wide / Math.max(1, places))));
  useEffect(() => {
    const box = room.current;
    if (!box) return;
    const watch = new ResizeObserver(() => setWide(box.clientWidth - 4));
    watch.observe(box);
    return () => watch.disconnect();
  }, []);
  useEffect(() => {
    if (!canvas.current) return;
    const { cells, yarns } = store.kept;
    const fits = store.answer?.shown.length === bands && store.answer.shown[0]?.length === places;
    drawGrid(canvas.current, {
      cells, yarns, side, cursor, under: store.tool === "picture" ? store.under : null,
      shown: dots && fits ? store.answer?.shown ?? null : null,
    });
  });
  const cellAt = (event: PointerEvent): Cell => {
    const box = (event.currentTarget as HTMLElement).getBoundingClientRect();
    return [Math.floor((event.clientY - box.top) / side), Math.floor((event.clientX - box.left) / side)];
  };
  const down = (event: PointerEvent) => {
    if (event.button !== 0) return;
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    const from = cellAt(event);
    setCursor(null);
    store.remember();
    const box = store.tool === "picture" ? store.under?.box ?? null : null;
    stroke.current = { from, at: from, on: store.kept.cells, box, x: event.clientX, y: event.clientY };
    if (store.tool === "fill") store.fill(from);
    else if (store.tool !== "picture") store.stroke([from]);
  };
  const move = (event: PointerEvent) => {
    const now = stroke.current;
    if (!now) return;
    const at = cellAt(event);
    if (now.box) {
      const left = now.box.left + (event.clientX - now.x) / (places * side);
      const top = now.box.top + (event.clientY - now.y) / (bands * side);
      void store.place({ ...now.box, left, top });
    } else if (at[0] !== now.at[0] || at[1] !== now.at[1]) {
      if (store.tool === "line") store.line(now.from, at, now.on);
      if (store.tool === "brush") store.stroke(between(now.at, at));
      now.at = at;
    }
  };
  const up = () => {
    stroke.current = null;
  };
  const paint = (at: Cell) => {
    if (store.tool === "picture") return;
    if (store.tool === "line" && !start) {
      setStart(at);
      return;
    }
    store.remember();
    if (store.tool === "fill") store.fill(at);
    else store.line(start ?? at, at, store.kept.cells);
    setStart(null);
  };
  const step = ([down, right]: Cell, along: boolean) => {
    if (store.tool === "picture" && store.under) {
      const { box } = store.under;
      void store.place({ ...box, left: box.left + right / places, top: box.top + down / bands });
      return;
    }
    const [row, place] = cursor ?? [0, 0];
    const at: Cell = [Math.max(0, Math.min(bands - 1, row + down)), Math.max(0, Math.min(places - 1, place + right))];
    setCursor(at);
    if (along) {
      store.remember();
      store.stroke([[row, place], at]);
    }
  };
  const keys = (event: KeyboardEvent) => {
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    const tool = TOOLS[key];
    if ((event.ctrlKey || event.metaKey) && key === "z") event.shiftKey ? store.redo() : store.undo();
    else if (event.ctrlKey || event.metaKey || event.altKey) return;
    else if (STEPS[key]) step(STEPS[key], event.shiftKey);
    else if (key === " " || key === "Enter") paint(cursor ?? [0, 0]);
    else if (tool) store.take(tool);
    else if (key === "m") store.mirrored(!store.mirror);
    else if (/^[1-8]$/.test(key) && store.kept.yarns[Number(key) - 1]) store.choose(Number(key) - 1);
    else return;
    event.preventDefault();
  };
  const says = cursor && `Band ${bands - cursor[0]}, place ${cursor[1] + 1}: ${store.name(store.kept.cells[cursor[0]]?.[cursor[1]] ?? -1)}`;
  return (
    <div class="sketch-room" ref={room}>
      <div
        class={`sketch-paper tool-${store.tool}`} role="application" tabIndex={0} aria-label="Grid to paint on" aria-describedby="sketch-keys"
        onPointerDown={down} onPointerMove={move} onPointerUp={up} onPointerCancel={up} onKeyDown={keys}
        onFocus={(e) => e.currentTarget.matches(":focus-visible") && setCursor((now) => now ?? [0, 0])} onBlur={() => setCursor(null)}
      >
        <canvas ref={canvas} />
      </div>
      <p class="soft small" role="status">{says || `${places} places, ${bands} bands; the top of the picture is the top of the piece.`}{start && " A line begins here: go to its end and press Space."}</p>
      <p class="soft small" id="sketch-keys">Arrows choose a cell, Space paints it, Shift with arrows paints along; 1–8 yarns, B brush, L line, F fill, M mirror, Ctrl + Z undo.</p>
    </div>
  );
}
