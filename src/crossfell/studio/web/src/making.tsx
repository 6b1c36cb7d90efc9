// Make pictures, papers and facts beside the draft, and look at them before they are printed.

import { useState } from "preact/hooks";
import { useStore } from "./parts";
import { Preview } from "./preview";
import type { Store } from "./store";

interface Made { files: { file: string; says: string }[] }

export function Making({ store }: { store: Store }) {
  const [made, setMade] = useState<Made | null>(null);
  const [working, setWorking] = useState(false);
  const [revision, setRevision] = useState(0);
  const [looking, setLooking] = useState("");
  useStore(store);
  const address = (file: string) => `/made?${new URLSearchParams({ piece: store.piece, file, r: String(revision) })}`;
  const make = async (parts: string[]) => {
    setWorking(true);
    try {
      await store.flush?.();
      setRevision(store.revision);
      setMade(await store.try<Made>("make", { parts }));
      store.say("It is made.");
    } catch (problem) {
      store.complain(problem);
    } finally {
      setWorking(false);
    }
  };
  return (
    <div class="making">
      <p>Pictures, the papers for bench and loom, the cartoon at true size, lists and all numbers, in a folder beside the draft.</p>
      <div class="row" aria-busy={working}>
        <button type="button" class="main" disabled={working || !store.state?.computable} onClick={() => void make([])}>
          {working ? "Making…" : "Make everything"}
        </button>
      </div>
      <fieldset class="row"><legend>Or only</legend>
        {store.state?.parts.map((part) => (
          <button key={part} type="button" disabled={working || !store.state?.computable} onClick={() => void make([part])}>{part.replaceAll("-", " ")}</button>
        ))}
      </fieldset>
      {made && revision !== store.revision && <p class="tone-mind">The draft has changed since; make again before you print.</p>}
      {made && (
        <ul class="made">
          {made.files.map(({ file, says }) => (
            <li key={file}>
              <div>
                <a href={address(file)} target="_blank" rel="noopener">{file}</a>
                <p class="soft">{says}</p>
              </div>
              {file.endsWith(".pdf") && <button type="button" onClick={() => setLooking(file)}>Look<span class="unseen"> at {file}</span></button>}
            </li>
          ))}
        </ul>
      )}
      {looking && <Preview store={store} file={looking} address={address(looking)} close={() => setLooking("")} />}
    </div>
  );
}
