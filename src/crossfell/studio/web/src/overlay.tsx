// What lies over the picture: numbers of spans and places, the selection, the ghost.

import type { Picture } from "./api";
import type { Carried } from "./carry";
import type { Place } from "./slices";
import type { Store } from "./store";

interface Props { store: Store; picture: Picture; scale: number; place: Place; carried: Carried | null }

const ROOM_PX = 19; // between two labels

export function Overlay({ store, picture, scale, place, carried }: Props) {
  const selected = store.selected;
  const told = carried?.told;
  const says = carried?.kind === "band" ? carried.band?.says : (told?.refused ?? told?.says);
  return (
    <>
      <Spans store={store} picture={picture} scale={scale} place={place} />
      <Places picture={picture} scale={scale} place={place} />
      <svg class="over-picture" width={picture.width * scale} height={picture.height * scale} viewBox={`0 0 ${picture.width} ${picture.height}`} aria-hidden="true">
        {selected && !told?.ghost && (
          <g class="selected">
            <path class="halo" d={selected.outline} />
            <path class="line" d={selected.outline} />
            <path class="halo" d={selected.box} />
            <path class="box" d={selected.box} />
          </g>
        )}
        {store.band && !carried && <g class="selected"><path class="halo" d={store.band.outline} /><path class="line" d={store.band.outline} /></g>}
        {told?.ghost && <g class={`ghost ${told.refused ? "refused" : ""}`}><path class="halo" d={told.ghost} /><path class="line" d={told.ghost} /></g>}
        {carried?.band && (
          <g class="ghost"><path class="halo" d={`M0 ${carried.band.line}H${picture.width}`} /><path class="line" d={`M0 ${carried.band.line}H${picture.width}`} /></g>
        )}
      </svg>
      {carried && says && (
        <p class={`carry-words ${told?.refused ? "tone-bad" : ""}`} aria-hidden="true" style={{ top: `${carried.band ? carried.band.line * scale - 52 : wordsAt(store, picture, scale)}px`, width: `${picture.width * scale}px` }}>
          <span>{says}</span>
        </p>
      )}
    </>
  );
}

function wordsAt(store: Store, picture: Picture, scale: number): number {
  const span = store.selection?.span ?? 1;
  const ys = [picture.bands[span - 1], picture.bands[span]].flatMap((band) => band ?? [0]);
  return Math.min(...ys) * scale - 40;
}

function Spans({ store, picture, scale, place }: Omit<Props, "carried">) {
  const spans = store.state?.spans ?? [];
  let lastAt = -Infinity;
  const rows = spans
    .map((span) => {
      const ys = [picture.bands[span.number - 1], picture.bands[span.number]].flatMap((band) => band ?? []);
      return { span, at: ((Math.min(...ys) + Math.max(...ys)) / 2) * scale };
    })
    .filter(({ at }) => at > place.from * scale && at < place.to * scale)
    .sort((a, b) => a.at - b.at);
  return (
    <div class="span-labels" aria-hidden="true">
      {rows.map(({ span, at }) => {
        const marked = !span.layable || span.hold === "swings";
        const room = at - lastAt >= ROOM_PX;
        if (!room && !marked) return null;
        if (room) lastAt = at;
        const active = store.selection?.span === span.number;
        return (
          <div key={span.number} class={active ? "active" : ""} style={{ top: `${at}px` }}>
            {room && <b>{span.number}</b>}
            {room && <span class="height" style={{ left: `${picture.width * scale + 66}px` }}>{span.height}</span>}
            {!span.layable && <i class="mark mind" title="interlaced">✕</i>}
            {span.hold === "swings" && <i class="mark bad" title="swings">↔</i>}
          </div>
        );
      })}
    </div>
  );
}

function Places({ picture, scale, place: near }: Omit<Props, "store" | "carried">) {
  const xs = picture.places.map((x) => x * scale);
  const gap = xs.length > 1 ? Math.abs((xs[1] ?? 0) - (xs[0] ?? 0)) : 100;
  const room = 8 * (1 + String(xs.length).length);
  const step = [1, 5, 10, 50, 100].find((every) => gap * every >= room) ?? 500;
  const shown = xs.map((x, k) => ({ x, place: k + 1 }))
    .filter(({ x, place }) => x > near.left && x < near.right && (step === 1 || place === 1 || place % step === 0));
  return (
    <div class="place-labels" aria-hidden="true">
      {[-30, picture.height * scale + 8].map((y) => shown.map(({ x, place }) => (
        <span key={`${y}-${place}`} style={{ left: `${x}px`, top: `${y}px` }}>{place}</span>
      )))}
    </div>
  );
}
