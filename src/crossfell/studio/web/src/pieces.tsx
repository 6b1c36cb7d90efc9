// The folder's pieces: pictures, states, sizes; new, copy, rename, archive.

import { useEffect, useState } from "preact/hooks";
import { call, Refused, smallAddress, type Card } from "./api";
import { FIGURES, pieceAddress, SKETCH } from "./app";
import type { Told } from "./events";
import { Dialog, Icon } from "./parts";

interface List { folder: string; pieces: Card[] }
type Asking = { what: "new" | "copy" | "rename"; card?: Card };

export function Pieces({ event, connected }: { event: Told | null; connected: boolean }) {
  const [list, setList] = useState<List | null>(null);
  const [trouble, setTrouble] = useState("");
  const [archive, setArchive] = useState(false);
  const [asking, setAsking] = useState<Asking | null>(null);
  const load = async () => {
    try {
      setList(await call<List>("pieces"));
      setTrouble("");
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      setTrouble(problem.message);
    }
  };
  const waiting = list?.pieces.find((card) => card.waiting && card.archived === archive)?.piece;
  useEffect(() => {
    if (!waiting) return; // prices come one after another, so that the list opens at once
    const put = (known: Card) => setList((now) => now && { ...now, pieces: now.pieces.map((card) => (card.piece === waiting ? known : card)) });
    call<Card>("card", { piece: waiting }).then(put, (problem: unknown) => {
      if (!(problem instanceof Refused)) throw problem;
      setTrouble(problem.message);
      const card = list?.pieces.find((one) => one.piece === waiting);
      if (card) put({ ...card, waiting: false });
    });
  }, [waiting, list === null]);
  useEffect(() => {
    document.title = "Pieces · Crossfell";
    if (connected) void load();
  }, [event, connected]);
  const shown = list?.pieces.filter((card) => card.archived === archive) ?? [];
  const archived = list?.pieces.filter((card) => card.archived).length ?? 0;
  return (
    <main class="pieces" aria-busy={list === null}>
      <header class="pieces-head">
        <div>
          <p class="brand">Crossfell</p>
          <h1>{archive ? "Archive" : "Pieces"}</h1>
        </div>
        <div class="row">
          {(archived > 0 || archive) && (
            <button type="button" class="quiet" onClick={() => setArchive(!archive)}>
              {archive ? "Back to the pieces" : `Archive (${archived})`}
            </button>
          )}
          <button type="button" class="main" onClick={() => setAsking({ what: "new" })}>New piece</button>
        </div>
      </header>
      {trouble && <p class="trouble" role="alert">{trouble}</p>}
      {list && shown.length === 0 && (
        <div class="empty">
          <p>{archive ? "Nothing is archived." : "No pieces in this folder yet."}</p>
          {!archive && <p>A new piece begins with a small draft that can be hung: change whatever you like.</p>}
        </div>
      )}
      <ul class="cards">
        {shown.map((card) => (
          <PieceCard key={card.piece} card={card} reload={load} ask={setAsking} complain={setTrouble} />
        ))}
      </ul>
      {asking && <Ask asking={asking} close={() => setAsking(null)} reload={load} />}
    </main>
  );
}

const STATES = { "": "As the record says", draft: "Draft", loom: "On the loom", off: "Off the loom", hung: "Hung" };

interface CardProps { card: Card; reload: () => void; ask: (asking: Asking) => void; complain: (says: string) => void }

function PieceCard({ card, reload, ask, complain }: CardProps) {
  const shelve = async (change: object) => {
    try {
      await call("shelve", { piece: card.piece, ...change });
      reload();
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      complain(problem.message);
    }
  };
  const address = pieceAddress(card.piece);
  return (
    <li class="card">
      <a href={address} class="card-picture" tabIndex={-1} aria-hidden="true">
        {card.broken
          ? <span class="no-picture">No picture while the draft has errors</span>
          : <img src={smallAddress(card.piece, card.digest)} alt="" loading="lazy" />}
      </a>
      <div class="card-words">
        <h2><a href={address}>{card.title}</a></h2>
        <p class="stands"><b>{card.says}</b>{card.source && <small class="soft"> {card.source}</small>}</p>
        {card.waiting
          ? <p class="soft">Working out size and price…</p>
          : card.size && (
            <dl class="card-facts">
              <dt>Size</dt><dd>{card.size}<small class="soft"> {card.units}</small></dd>
              <dt>Price</dt><dd>{card.price || "by `crossfell quote`"}<small class="soft"> {card.price_source}</small></dd>
            </dl>
          )}
        <p class="soft small">{card.piece}.toml</p>
        {card.fault && <p class="tone-bad">{card.fault}</p>}
        {card.errors > 0 && <p class="tone-bad"><Icon name="bad" />{card.errors} {card.errors === 1 ? "error" : "errors"}</p>}
        {card.doubts > 0 && <p class="tone-mind"><Icon name="mind" />{card.doubts} {card.doubts === 1 ? "doubt" : "doubts"}</p>}
        <label class="state">Where it stands
          <select value={card.state} onChange={(e) => void shelve({ state: e.currentTarget.value })} aria-label={`Where ${card.title} stands`}>
            {Object.entries(STATES).map(([state, words]) => <option key={state} value={state}>{words}</option>)}
          </select>
        </label>
        <div class="row card-tools">
          <button type="button" class="quiet" onClick={() => ask({ what: "copy", card })} aria-label={`Copy ${card.title}`}>Copy</button>
          <button type="button" class="quiet" onClick={() => ask({ what: "rename", card })} aria-label={`Rename ${card.title}`}>Rename</button>
          <button type="button" class="quiet" onClick={() => void shelve({ archived: !card.archived })} aria-label={`${card.archived ? "Bring back" : "Archive"} ${card.title}`}>
            {card.archived ? "Bring back" : "Archive"}
          </button>
        </div>
      </div>
    </li>
  );
}

const ASKED = {
  new: { title: "A new piece", label: "Its title", button: "Begin" },
  copy: { title: "Copy", label: "File name of the copy", button: "Copy" },
  rename: { title: "Rename", label: "New file name", button: "Rename" },
};

function Ask({ asking, close, reload }: { asking: Asking; close: () => void; reload: () => void }) {
  const [trouble, setTrouble] = useState("");
  const { title, label, button } = ASKED[asking.what];
  const file = asking.card?.piece.split("/").at(-1) ?? "";
  const submit = async (e: SubmitEvent) => {
    e.preventDefault();
    const word = String(new FormData(e.currentTarget as HTMLFormElement).get("word") ?? "");
    try {
      const asked = asking.what === "new" ? { title: word } : { piece: asking.card?.piece, name: word };
      const { piece } = await call<{ piece: string }>(asking.what, asked);
      close();
      if (asking.what === "new") location.hash = pieceAddress(piece);
      else reload();
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      setTrouble(problem.message);
    }
  };
  return (
    <Dialog title={title} close={close}>
      <form onSubmit={submit}>
        <label class="field">
          {label}
          <input name="word" required maxLength={80} defaultValue={asking.what === "copy" ? `${file} 2` : file} autocomplete="off" />
        </label>
        {trouble && <p class="trouble" role="alert">{trouble}</p>}
        <p class="row end"><button class="main">{button}</button></p>
      </form>
      {asking.what === "new" && <p>Or begin <a href={SKETCH}>from a picture or a sketch</a>, or <a href={FIGURES}>with a figure</a>.</p>}
    </Dialog>
  );
}
