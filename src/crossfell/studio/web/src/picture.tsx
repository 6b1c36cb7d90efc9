// The picture, large: slices, what is selected, what is carried; mouse, touch and keyboard.

import { useEffect, useLayoutEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Picture, Pointed, Selection } from "./api";
import { Carry } from "./carry";
import { keysOf, pressed } from "./keys";
import { Overlay } from "./overlay";
import { Dialog, Icon, useStore } from "./parts";
import { Slices } from "./slices";
import type { Store } from "./store";

const PAD = { left: 66, right: 76, top: 44, bottom: 40 }; // px round the picture, for its labels
const LARGE = 1.7; // px for each mm: a small piece begins no larger
const MOST_SHOWN = 4000; // units times spans in the window at first
const STEP_PX = 512; // across, what is painted follows the window in such steps
const DRAG_PX = 6; // less is a click
const SIDE_PX = 16; // this far below where it was taken up, it goes under

export function PictureArea({ store }: { store: Store }) {
  useStore(store);
  const state = store.state;
  const last = useRef<Picture | null>(null);
  if (state?.picture) last.current = state.picture;
  if (!state) return <p class="waiting">Opening…</p>;
  const picture = last.current && store.soon ? { ...last.current, slices: store.soon } : last.current;
  if (!picture) {
    return <p class="waiting">The picture comes when the errors are set right. The findings say where they are.</p>;
  }
  return <Shown store={store} picture={picture} dim={!state.computable} />;
}

function Shown({ store, picture, dim }: { store: Store; picture: Picture; dim: boolean }) {
  const box = useRef<HTMLDivElement>(null);
  const [size, setSize] = useState({ width: 0, height: 0 });
  const [scale, setScale] = useState(0);
  const [top, setTop] = useState(0);
  const [left, setLeft] = useState(0);
  const [, redraw] = useState(0);
  const [help, setHelp] = useState(false);
  const carry = useMemo(() => new Carry(store, () => redraw((n) => n + 1)), [store]);
  useLayoutEffect(() => {
    const element = box.current;
    if (!element) return;
    const watch = new ResizeObserver(() => setSize({ width: element.clientWidth, height: element.clientHeight }));
    watch.observe(element);
    setSize({ width: element.clientWidth, height: element.clientHeight });
    return () => watch.disconnect();
  }, []);
  const fit = size.width ? (size.width - PAD.left - PAD.right) / picture.width : 0;
  useEffect(() => {
    if (fit && !scale) setScale(Math.max(Math.min(fit, LARGE), atLeast(store, picture, size.height)));
  }, [fit]);
  const zoomTo = (wanted: number) => {
    const element = box.current;
    const next = Math.min(Math.max(wanted, 0.02), 12);
    const middle = element ? (element.scrollTop + element.clientHeight / 2 - PAD.top) / scale : 0;
    setScale(next);
    requestAnimationFrame(() => element?.scrollTo({ top: middle * next + PAD.top - element.clientHeight / 2 }));
  };
  const zoom = {
    larger: () => zoomTo(scale * 1.25),
    smaller: () => zoomTo(scale / 1.25),
    fit: () => zoomTo(fit),
    whole: () => zoomTo(Math.min(fit, (size.height - PAD.top - PAD.bottom) / picture.height)),
  };
  const pointer = usePointer(store, carry, scale, box);
  useFollow(store, picture, scale, box);
  const down = (px: number) => (top - PAD.top + px) / (scale || 1);
  const across = (part: number) => Math.round((left - PAD.left + part) / STEP_PX) * STEP_PX;
  const place = {
    from: down(-size.height / 2), to: down(size.height * 1.5), top: down(0), low: down(size.height),
    left: across(-STEP_PX), right: across(size.width + STEP_PX),
  };
  const shown = () => {
    document.documentElement.dataset["shown"] = String(store.revision);
  };
  return (
    <div class={`picture ${dim ? "dim" : ""} ${carry.now ? "carrying" : ""}`}>
      <div
        ref={box} class="sheet-box" tabIndex={0} role="application" aria-roledescription="picture of the piece"
        aria-label={`${store.state?.title ?? ""}, ${picture.says}`} aria-describedby="picture-keys"
        onKeyDown={(e) => {
          if (e.target === e.currentTarget && pressed(e, store, carry, zoom)) e.preventDefault();
        }}
        onScroll={(e) => {
          setTop(e.currentTarget.scrollTop);
          setLeft(e.currentTarget.scrollLeft);
        }}
        onPointerDown={pointer.down} onPointerMove={pointer.move} onPointerUp={pointer.up} onPointerCancel={pointer.cancel}
      >
        {scale > 0 && (
          <div
            class="sheet"
            style={{
              width: `${picture.width * scale + PAD.left + PAD.right}px`, height: `${picture.height * scale + PAD.top + PAD.bottom}px`,
              "--wall-top": picture.wall[0], "--wall-low": picture.wall[1],
            }}
          >
            <div class="origin" style={{ left: `${PAD.left}px`, top: `${PAD.top}px` }}>
              <Slices store={store} picture={picture} scale={scale} place={place} shown={shown} />
              <Overlay store={store} picture={picture} scale={scale} place={place} carried={carry.now} />
            </div>
          </div>
        )}
      </div>
      <div class="picture-tools" role="toolbar" aria-label="Size of the picture">
        <button type="button" class="square" onClick={zoom.larger} aria-label="Larger"><Icon name="plus" /></button>
        <button type="button" class="square" onClick={zoom.smaller} aria-label="Smaller"><Icon name="minus" /></button>
        <button type="button" class="square" onClick={zoom.whole} aria-label="The whole piece"><Icon name="fit" /></button>
        <button type="button" class="square" onClick={() => setHelp(true)} aria-label="Keys of the picture"><Icon name="why" /></button>
      </div>
      <p class="hint" aria-hidden="true">{pointer.hint}</p>
      <p id="picture-keys" class="unseen">Arrow keys choose places and spans, Shift with arrows takes more, C carries what is chosen over or under its neighbours. The question mark button lists all keys.</p>
      {help && (
        <Dialog title="On the picture" close={() => setHelp(false)}>
          <p>Drag units sideways to cross them: over their neighbours, or under them when you drag a little downwards. Drag a band up or down for another height.</p>
          <table class="keys"><tbody>{keysOf(store.state?.warp.tools ?? []).map(([key, says]) => <tr key={key}><th scope="row"><kbd>{key}</kbd></th><td>{says}</td></tr>)}</tbody></table>
        </Dialog>
      )}
    </div>
  );
}

/** A very large piece begins close enough that the window shows a few thousand units, not all. */
function atLeast(store: Store, picture: Picture, height: number): number {
  const units = store.state?.warp.places ?? 1;
  const spans = Math.max(1, picture.slices.length - 1);
  return (height * spans * units) / (picture.height * MOST_SHOWN);
}

/** Keep what is selected in the window. */
function useFollow(store: Store, picture: Picture, scale: number, box: { current: HTMLDivElement | null }): void {
  const span = store.selected?.span;
  useEffect(() => {
    const element = box.current;
    if (span === undefined || !element || !scale) return;
    const bands = [picture.bands[span - 1], picture.bands[span]];
    const ys = bands.flatMap((band) => band ?? []);
    const low = Math.max(...ys) * scale + PAD.top;
    const high = Math.min(...ys) * scale + PAD.top;
    if (high < element.scrollTop) element.scrollTo({ top: high - 30 });
    else if (low > element.scrollTop + element.clientHeight) element.scrollTo({ top: low - element.clientHeight + 30 });
  }, [span, scale]);
}

interface Drag { x: number; y: number; px: number; py: number; band: number | null; lifted: boolean; id: number }

function usePointer(store: Store, carry: Carry, scale: number, box: { current: HTMLDivElement | null }) {
  const [hint, setHint] = useState("");
  const drag = useRef<Drag | null>(null);
  const hovering = useRef(false);
  const at = (e: PointerEvent) => {
    const origin = box.current?.querySelector(".origin")?.getBoundingClientRect();
    return { x: (e.clientX - (origin?.left ?? 0)) / scale, y: (e.clientY - (origin?.top ?? 0)) / scale };
  };
  const ask = (point: { x: number; y: number }) => store.try<Pointed>("point", { ...point, slop: 5 / scale });
  const down = async (e: PointerEvent) => {
    if (e.button !== 0 || !store.state?.computable || onScrollbar(e, box.current)) return;
    const point = at(e);
    const started: Drag = { ...point, px: e.clientX, py: e.clientY, band: null, lifted: false, id: e.pointerId };
    drag.current = started;
    const more = e.shiftKey;
    try {
      const found = await ask(point);
      if (found.kind === "band") {
        started.band = found.band ?? null;
        await store.selectBand(found.band ?? 1);
        return;
      }
      await store.select(chosen(store.selection, found, more));
    } catch (problem) {
      store.complain(problem);
    }
  };
  const move = (e: PointerEvent) => {
    const now = drag.current;
    if (!now) {
      if (!hovering.current && e.pointerType === "mouse" && store.state?.computable) {
        hovering.current = true;
        ask(at(e)).then((found) => setHint(found.says), () => setHint("")).finally(() => setTimeout(() => (hovering.current = false), 50));
      }
      return;
    }
    const far = Math.hypot(e.clientX - now.px, e.clientY - now.py) > DRAG_PX;
    if (!now.lifted && !far) return;
    if (!now.lifted) {
      if (now.band === null && !store.selection) return;
      now.lifted = true;
      box.current?.setPointerCapture(now.id);
      if (now.band !== null) carry.liftBand();
      else if (store.selection) carry.lift(store.selection);
    }
    const point = at(e);
    if (now.band !== null) carry.moveBand(now.band, now.y, point.y);
    else carry.move({ from_x: now.x, to_x: point.x }, e.clientY - now.py < SIDE_PX);
  };
  const up = () => {
    const lifted = drag.current?.lifted;
    drag.current = null;
    if (lifted) void carry.drop();
  };
  const cancel = () => {
    drag.current = null;
    carry.cancel();
  };
  return { down, move, up, cancel, hint };
}

function onScrollbar(e: PointerEvent, box: HTMLDivElement | null): boolean {
  if (!box || e.target !== box) return false;
  const area = box.getBoundingClientRect();
  return e.clientX > area.left + box.clientWidth || e.clientY > area.top + box.clientHeight;
}

/** What a click selects: a place, or with Shift everything from there to here; a click on what is
 * selected leaves it selected, so that all of it can be dragged. */
function chosen(old: Selection | null, found: Pointed, more: boolean): Selection {
  const place = found.place ?? 1;
  if (old && more) {
    const first = Math.min(old.first, place);
    const last = Math.max(old.last, place);
    return { span: old.span, span_to: found.span, first, last };
  }
  const within = old && old.span === found.span && old.span_to === found.span && old.first <= place && place <= old.last;
  return within ? old : { span: found.span, span_to: found.span, first: place, last: place };
}
