// A made paper, page by page, as it will be printed.

import { useEffect, useState } from "preact/hooks";
import { Dialog, Icon } from "./parts";
import type { Store } from "./store";

interface Pages { key: string; sizes: [number, number][]; widths: number[] }

export function Preview({ store, file, address, close }: { store: Store; file: string; address: string; close: () => void }) {
  const [told, setTold] = useState<Pages | null>(null);
  const [page, setPage] = useState(0);
  const [grey, setGrey] = useState(false);
  const [large, setLarge] = useState(false);
  useEffect(() => {
    store.try<Pages>("pages", { file }).then(setTold).catch((problem: unknown) => {
      store.complain(problem);
      close();
    });
  }, [file]);
  const last = (told?.sizes.length ?? 1) - 1;
  const turn = (to: number) => setPage(Math.min(Math.max(to, 0), last));
  const keys = (e: KeyboardEvent) => {
    const to = { ArrowRight: page + 1, PageDown: page + 1, ArrowLeft: page - 1, PageUp: page - 1, Home: 0, End: last }[e.key];
    if (to === undefined) return;
    e.preventDefault();
    turn(to);
  };
  const size = told?.sizes[page];
  const at = (number: number) => {
    const wide = told?.widths[large ? 2 : 1] ?? 1400;
    return `/page/${number}.png?${new URLSearchParams({ piece: store.piece, file, wide: String(wide), v: told?.key ?? "" })}`;
  };
  useEffect(() => {
    if (told && page < last) new Image().src = at(page + 1); // the next one is there when it is turned to
  }, [told, page, large]);
  return (
    <Dialog title={file} close={close} wide>
      <div class="preview" onKeyDown={keys}>
        <div class="row preview-tools" role="toolbar" aria-label="Pages">
          <button type="button" class="square" disabled={page === 0} onClick={() => turn(page - 1)} aria-label="Page before"><Icon name="left" /></button>
          <p role="status">Page {page + 1} of {last + 1}{size && <small class="soft"> {Math.round(size[0])} × {Math.round(size[1])} mm</small>}</p>
          <button type="button" class="square" disabled={page === last} onClick={() => turn(page + 1)} aria-label="Next page"><Icon name="right" /></button>
          <span class="spring" />
          <button type="button" aria-pressed={large} onClick={() => setLarge(!large)}>Larger</button>
          <button type="button" aria-pressed={grey} onClick={() => setGrey(!grey)}>Black and white</button>
          <a class="button" href={address} download={file.split("/").at(-1)}>Download</a>
          <a class="button main" href={address} target="_blank" rel="noopener">Print<span class="unseen">, opens in the browser's own reader</span></a>
        </div>
        <div class={`preview-page ${large ? "large" : ""} ${grey ? "grey" : ""}`} tabIndex={0} role="region" aria-label="The page; arrow keys turn to others">
          {told && <img key={at(page)} src={at(page)} width={size?.[0]} height={size?.[1]} alt={`${file}, page ${page + 1} of ${last + 1}`} />}
        </div>
      </div>
    </Dialog>
  );
}
