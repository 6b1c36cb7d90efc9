// Small parts that every screen uses: icons, a dialog, a hook on the store.

import type { ComponentChildren } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";

/** Draw again whenever a store tells of a change. */
export function useStore(store: { listen: (told: () => void) => () => void }): void {
  const [, set] = useState(0);
  useEffect(() => store.listen(() => set((n) => n + 1)), [store]);
}

const PATHS: Record<string, string> = {
  back: "M15 5l-7 7 7 7",
  up: "M12 19V6M6 12l6-6 6 6",
  down: "M12 5v13M6 12l6 6 6-6",
  undo: "M9 6L4 11l5 5M4 11h9a6 6 0 016 6v2",
  redo: "M15 6l5 5-5 5M20 11h-9a6 6 0 00-6 6v2",
  over: "M6 20C6 12 18 12 18 4M18 20c0-3-1.500-5-3.500-6.500M6 4c0 3 1.500 5 3.500 6.500",
  under: "M18 20C18 12 6 12 6 4M6 20c0-3 1.500-5 3.500-6.500M18 4c0 3-1.500 5-3.500 6.500",
  turn: "M8 3c0 5 8 4 8 9s-8 4-8 9M16 3c0 2-1 3-3 4M8 21c0 0 0 0 0 0M16 21c0-2-1-3-3-4",
  right: "M5 12h13M13 6l6 6-6 6",
  left: "M19 12H6M11 6l-6 6 6 6",
  plait: "M6 3c0 5 6 5 6 9s6 5 6 9M18 3c0 3-3 4-5 5.500M6 21c0-3 3-4 5-5.500",
  plus: "M12 5v14M5 12h14",
  minus: "M5 12h14",
  fit: "M4 9V4h5M20 9V4h-5M4 15v5h5M20 15v5h-5",
  bad: "M12 4l9 16H3zM12 10v4M12 17v.5",
  mind: "M12 3a9 9 0 100 18 9 9 0 000-18zM12 8v5M12 16v.5",
  good: "M5 13l5 5 9-11",
  more: "M6 12h.01M12 12h.01M18 12h.01",
  why: "M9 9a3 3 0 115 2.200c-1.300 1-2 1.600-2 2.800M12 17.500v.5",
};

export function Icon({ name }: { name: string }) {
  return (
    <svg class="icon" viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      <path d={PATHS[name] ?? ""} />
    </svg>
  );
}

/** A patch of colour; its name stands beside it. */
export function Swatch({ colour }: { colour: string }) {
  return <svg class="swatch" viewBox="0 0 20 20" aria-hidden="true"><rect width="20" height="20" rx="4" fill={colour} /></svg>;
}

interface DialogProps { title: string; close: () => void; wide?: boolean; children: ComponentChildren }

/** A dialog over the page; Escape and the button close it, focus comes back by itself. */
export function Dialog({ title, close, wide, children }: DialogProps) {
  const box = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const dialog = box.current;
    if (dialog && !dialog.open) dialog.showModal();
    dialog?.querySelector<HTMLElement>("input, select, textarea")?.focus(); // what it asks, not Close
    return () => dialog?.close();
  }, []);
  return (
    <dialog ref={box} class={wide ? "wide" : ""} aria-label={title} onClose={close}>
      <header class="dialog-head">
        <h2>{title}</h2>
        <button type="button" class="quiet" onClick={close}>Close</button>
      </header>
      {children}
    </dialog>
  );
}
