// What is wrong or doubtful: each leads to its place, each with its remedy where there is one.

import { useState } from "preact/hooks";
import type { Finding, Proposals } from "./api";
import { Icon, useStore } from "./parts";
import type { Store } from "./store";

type Show = (where: { line: number; column: number; length: number }) => void;
const WORDS = { error: "Error", doubt: "Doubt", advice: "Advice" };
const MARKS = { error: "bad", doubt: "mind", advice: "why" };
const TONES = { error: "bad", doubt: "mind", advice: "plain" };

export function Findings({ store, findings, show, complete }: { store: Store; findings: Finding[]; show: Show; complete: boolean }) {
  useStore(store);
  const helping = store.state?.computable ? <Helping store={store} /> : null;
  if (findings.length === 0 && !complete) return <><p class="soft" role="status">Nothing wrong so far; loom and hanging are still being looked at.</p>{helping}</>;
  if (findings.length === 0) return <><p class="all-well"><Icon name="good" />Nothing wrong, nothing doubtful.</p>{helping}</>;
  const lead = (finding: Finding) => {
    const span = finding.span;
    if (span !== null && store.state?.computable) {
      void store.select({ span, span_to: span, first: 1, last: store.state.warp.places });
    }
    if (finding.line && !finding.file) show(finding);
  };
  return (
    <>
    <ol class="findings">
      {findings.map((finding, k) => (
        <li key={`${finding.code}-${k}`} class={`finding tone-${TONES[finding.severity]}`}>
          <h3><Icon name={MARKS[finding.severity]} /><span>{WORDS[finding.severity]}: {finding.says}</span></h3>
          {finding.known && <p>{finding.known}</p>}
          {finding.instead && <p class="instead">{finding.instead}</p>}
          <div class="row">
            {finding.remedy && (
              <button type="button" class="main" onClick={() => finding.remedy && void store.edit(finding.remedy.edit)}>{finding.remedy.says}</button>
            )}
            {finding.line > 0 && !finding.file && (
              <button type="button" onClick={() => lead(finding)}>Show line {finding.line}</button>
            )}
            {finding.file && <span class="soft">in {finding.file}, line {finding.line}</span>}
          </div>
        </li>
      ))}
    </ol>
    {helping}
    </>
  );
}

/** What would help a piece that swings, drifts or hangs slack: searched when asked for. */
function Helping({ store }: { store: Store }) {
  const [told, setTold] = useState<Proposals | null>(null);
  const [searching, setSearching] = useState(false);
  const search = async () => {
    setSearching(true);
    try {
      await store.flush?.();
      setTold(await store.try<Proposals>("remedies", {}));
    } catch (problem) {
      store.complain(problem);
    } finally {
      setSearching(false);
    }
  };
  const current = told && told.revision === store.revision;
  return (
    <section class="helping">
      <button type="button" disabled={searching} onClick={() => void search()}>
        {searching ? "Looking for what would help…" : "What would help it to hang?"}
      </button>
      {current && told.remedies.length === 0 && <p>Nothing was found that would make it hang better.</p>}
      {current && (
        <ol class="findings">
          {told.remedies.map((remedy) => (
            <li key={remedy.number} class="finding tone-plain">
              <h3><span>{remedy.says}</span></h3>
              <p>Then {remedy.effect}.</p>
              <p class="soft">Costs {remedy.cost}.</p>
              <div class="row"><button type="button" class="main" onClick={() => void store.mend(remedy.number)}>Do this<span class="unseen">: {remedy.says}</span></button></div>
            </li>
          ))}
        </ol>
      )}
    </section>
  );
}
