// Which screen is shown: the address after # says it.

import { useEffect, useState } from "preact/hooks";
import { listen, type Told } from "./events";
import { PieceScreen } from "./piece";
import { Pieces } from "./pieces";
import { FiguresScreen } from "./figures";
import { SketchScreen } from "./sketch";

const PIECE = "#/piece/";
export const SKETCH = "#/sketch";
export const FIGURES = "#/figures";

function asked(): string | null {
  return location.hash.startsWith(PIECE) ? decodeURIComponent(location.hash.slice(PIECE.length)) : null;
}

export function pieceAddress(piece: string): string {
  return PIECE + encodeURIComponent(piece);
}

export function App() {
  const [piece, setPiece] = useState(asked);
  const [page, setPage] = useState(location.hash);
  const [connected, setConnected] = useState(true);
  const [event, setEvent] = useState<Told | null>(null);
  useEffect(() => {
    const turn = () => {
      setPiece(asked());
      setPage(location.hash);
      scrollTo(0, 0);
    };
    addEventListener("hashchange", turn);
    const stop = listen(setEvent, setConnected);
    return () => {
      removeEventListener("hashchange", turn);
      stop();
    };
  }, []);
  return (
    <>
      {!connected && (
        <p class="offline" role="status">
          The studio does not answer just now. Everything that was done is kept; it goes on by itself.
        </p>
      )}
      {page === SKETCH ? <SketchScreen /> : page === FIGURES ? <FiguresScreen /> : piece === null
        ? <Pieces event={event} connected={connected} />
        : <PieceScreen key={piece} piece={piece} event={event} connected={connected} />}
    </>
  );
}
