// Everything that can be done on the picture with the keyboard.

import type { Edit, Selection, Tool } from "./api";
import type { Carry } from "./carry";
import type { Store } from "./store";

const BEFORE: [string, string][] = [
  ["← →", "another place"],
  ["↑ ↓", "another span"],
  ["Shift + arrow", "take more"],
  ["C", "carry it: then ← →, U for over or under, Enter to drop, Escape to leave it"],
];
const AFTER: [string, string][] = [
  ["M, V", "mirror, reverse"],
  ["I, D", "a new span after this one, a copy"],
  ["Delete", "take the span out"],
  ["+ − 0", "larger, smaller, the whole width"],
  ["Ctrl + Z", "undo; with Shift redo"],
];

/** Every key and what it does; those of the moves as the language has them. */
export function keysOf(tools: Tool[]): [string, string][] {
  const made = tools.map(({ key, name, goes }): [string, string] => {
    const letter = key.toUpperCase();
    return goes ? [`${letter}, Shift + ${letter}`, `${name} to the right, to the left`] : [letter, name];
  });
  return [...BEFORE, ...made, ...AFTER];
}

export interface Zoom { larger: () => void; smaller: () => void; fit: () => void }

/** Answer a key; true when it was ours. */
export function pressed(e: KeyboardEvent, store: Store, carry: Carry, zoom: Zoom): boolean {
  if (e.ctrlKey || e.metaKey || e.altKey) return false;
  const picture = store.state?.picture;
  if (!picture) return false;
  if (carry.now) return carrying(e.key, carry);
  const selection = store.selection ?? start(store);
  const arrow = moved(e.key, selection, e.shiftKey, picture);
  if (arrow) {
    void store.select(store.selection ? arrow : selection);
    return true;
  }
  const zooming = { "+": zoom.larger, "=": zoom.larger, "-": zoom.smaller, "0": zoom.fit }[e.key];
  if (zooming) {
    zooming();
    return true;
  }
  if (!store.selection) return false;
  if (e.key === "Escape") {
    void store.select(null);
    return true;
  }
  if (e.key.toLowerCase() === "c" || e.key === "Enter") {
    carry.lift(selection);
    store.say(`Carrying ${store.selected?.says ?? ""}. Left or right to move it, U for over or under, Enter to drop.`);
    return true;
  }
  const edit = edited(e.key, selection, store.view, store.state?.warp.tools ?? []);
  if (!edit) return false;
  void store.edit(edit);
  return true;
}

function start(store: Store): Selection {
  const span = store.state?.picture?.up === -1 ? 1 : (store.state?.spans?.length ?? 1);
  return { span, span_to: span, first: 1, last: 1 };
}

function carrying(key: string, carry: Carry): boolean {
  if (key === "ArrowLeft") carry.step(-1);
  else if (key === "ArrowRight") carry.step(1);
  else if (key.toLowerCase() === "u" || key === "ArrowUp" || key === "ArrowDown") carry.turnSide();
  else if (key === "Enter" || key === " ") void carry.drop();
  else if (key === "Escape") carry.cancel();
  else return false;
  return true;
}

/** The selection after an arrow key: arrows go as they are seen. */
function moved(key: string, s: Selection, more: boolean, seen: { across: number; up: number }): Selection | null {
  const across = { ArrowLeft: -1, ArrowRight: 1 }[key];
  const along = { ArrowUp: 1, ArrowDown: -1 }[key];
  if (across !== undefined) {
    const by = across * seen.across;
    if (!more) return { ...s, first: s.first + by, last: s.last + by };
    return by > 0 ? { ...s, last: s.last + 1 } : { ...s, first: s.first - 1 };
  }
  if (along !== undefined) {
    const by = along * seen.up;
    return more ? { ...s, span_to: s.span_to + by } : { ...s, span: s.span + by, span_to: s.span + by };
  }
  return null;
}

function edited(key: string, s: Selection, view: string, tools: Tool[]): Edit | null {
  const where = { span: s.span, span_to: s.span_to, first: s.first, last: s.last, view };
  const tool = tools.find((tool) => tool.key === key || (tool.goes && tool.key === key.toLowerCase()));
  if (tool) return { do: tool.name, side: tool.key === key ? "right" : "left", ...where };
  switch (key) {
    case "m": return { do: "mirror", ...where };
    case "v": return { do: "reverse", ...where };
    case "i": return { do: "insert-span", at: s.span + 1 };
    case "d": return { do: "copy-span", ...where };
    case "Delete": return { do: "delete-span", ...where };
    default: return null;
  }
}
