// The field for the text is loaded when it is first looked at: it is most of what the client weighs.

import { useEffect, useState } from "preact/hooks";
import type { TextProps } from "./text";

let loaded: typeof import("./text") | null = null;

export function TextLater(props: TextProps) {
  const [, setThere] = useState(loaded !== null);
  useEffect(() => {
    if (loaded) return;
    void import("./text").then((text) => {
      loaded = text;
      setThere(true);
    });
  }, []);
  return loaded ? <loaded.TextArea {...props} /> : <p role="status">The text is being opened …</p>;
}
