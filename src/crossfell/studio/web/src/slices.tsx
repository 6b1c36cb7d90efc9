// The picture in slices, each an image by its own address; only those near the window are asked
// for, and an old one stays until the new one is there.

import { useEffect, useRef, useState } from "preact/hooks";
import { sliceAddress, type Picture, type Slice } from "./api";

interface Props {
  piece: string; picture: Picture; scale: number; from: number; to: number;
  soon: Slice[] | undefined; shown: () => void;
}

const PAUSE_MS = 90; // a hand that rests this long may be about to drop

/** `from` and `to` are the part of the picture that is in the window (mm, y down). */
export function Slices({ piece, picture, scale, from, to, soon, shown }: Props) {
  const missing = useRef(new Set<string>());
  const near = picture.slices.filter((s) => s.top + s.height > from && s.top < to);
  const fine = scale >= picture.fine_from;
  const addresses = near.map((slice) => sliceAddress(piece, picture, slice, fine));
  missing.current = new Set([...missing.current].filter((address) => addresses.includes(address)));
  const loaded = (address: string) => {
    missing.current.delete(address);
    if (missing.current.size === 0) shown();
  };
  useEffect(() => {
    if (!soon) return;
    const timer = setTimeout(() => fetchSoon(piece, picture, soon, fine, from, to), PAUSE_MS);
    return () => clearTimeout(timer);
  }, [soon]);
  const wanted = addresses.join(" ");
  useEffect(() => {
    if (missing.current.size === 0) shown();
  }, [wanted]);
  return (
    <div class="slices" aria-hidden="true">
      {near.map((slice, k) => (
        <SliceImage
          key={slice.number} slice={slice} scale={scale} address={addresses[k] ?? ""}
          wait={(address) => missing.current.add(address)} loaded={loaded}
        />
      ))}
    </div>
  );
}

const kept: HTMLImageElement[] = [];

/** Ask for the slices of what would be, so that they are there when it is. */
function fetchSoon(piece: string, picture: Picture, soon: Slice[], fine: boolean, from: number, to: number): void {
  const there = new Set(picture.slices.map((slice) => slice.key));
  kept.length = 0;
  for (const slice of soon) {
    if (there.has(slice.key) || slice.top + slice.height <= from || slice.top >= to) continue;
    const image = new Image();
    image.src = sliceAddress(piece, picture, slice, fine);
    kept.push(image);
  }
}

interface ImageProps {
  slice: Slice; scale: number; address: string; wait: (address: string) => void;
  loaded: (address: string) => void;
}

function SliceImage({ slice, scale, address, wait, loaded }: ImageProps) {
  const [there, setThere] = useState("");
  useEffect(() => {
    if (there === address) return;
    let over = false;
    wait(address);
    const image = new Image();
    image.src = address;
    image.decode().then(
      () => {
        if (over) return;
        setThere(address);
        loaded(address);
      },
      () => loaded(address), // it will be asked for again with the next state
    );
    return () => {
      over = true;
      loaded(address);
    };
  }, [address]);
  const place = {
    left: `${slice.left * scale}px`, top: `${slice.top * scale}px`,
    width: `${slice.width * scale}px`, height: `${slice.height * scale}px`,
  };
  return there ? <img class="slice" src={there} alt="" style={place} draggable={false} data-key={slice.key} /> : null;
}
