// Named versions with their pictures, and what was done lately: everything can be brought back.

import { useEffect, useState } from "preact/hooks";
import { smallAddress, type Versions } from "./api";
import { useStore } from "./parts";
import type { Store } from "./store";
import { when } from "./when";

export function History({ store }: { store: Store }) {
  const [told, setTold] = useState<Versions | null>(null);
  useStore(store);
  useEffect(() => {
    store.try<Versions>("versions", {}).then(setTold).catch((problem: unknown) => store.complain(problem));
  }, [store.revision]);
  const keep = async (e: SubmitEvent) => {
    e.preventDefault();
    const form = e.currentTarget as HTMLFormElement;
    try {
      await store.flush?.();
      setTold(await store.try<Versions>("name-version", { name: String(new FormData(form).get("name") ?? "") }));
      form.reset();
    } catch (problem) {
      store.complain(problem);
    }
  };
  return (
    <div class="history">
      <form class="row" onSubmit={keep}>
        <label class="field">Name this version<input name="name" required maxLength={80} autocomplete="off" /></label>
        <button class="main">Keep</button>
      </form>
      {told && told.versions.length > 0 && <h3>Versions</h3>}
      <ul class="versions">
        {told?.versions.map((version) => (
          <li key={version.number}>
            <img src={smallAddress(store.piece, String(version.revision), version.revision)} alt="" loading="lazy" />
            <div>
              <b>{version.name}</b>
              <p class="soft">{when(version.made)}</p>
              <button type="button" disabled={version.revision === told.revision} onClick={() => void store.restore(version.revision)}>
                Bring back<span class="unseen"> {version.name}</span>
              </button>
            </div>
          </li>
        ))}
      </ul>
      <h3>What was done</h3>
      <ol class="recent">
        {told?.recent.map((state) => (
          <li key={state.revision} aria-current={state.revision === told.revision ? "true" : undefined}>
            <span>{state.what}<small class="soft"> {when(state.made)}</small></span>
            {state.revision === told.revision
              ? <b>now</b>
              : <button type="button" class="quiet" onClick={() => void store.restore(state.revision)}>Bring back<span class="unseen">: {state.what}</span></button>}
          </li>
        ))}
      </ol>
    </div>
  );
}
