// What is wrong or doubtful: each leads to its place, each with its remedy where there is one.

import type { Finding } from "./api";
import { Icon, useStore } from "./parts";
import type { Store } from "./store";

type Show = (where: { line: number; column: number; length: number }) => void;
const WORDS = { error: "Error", doubt: "Doubt", advice: "Advice" };
const MARKS = { error: "bad", doubt: "mind", advice: "why" };
const TONES = { error: "bad", doubt: "mind", advice: "plain" };

export function Findings({ store, findings, show }: { store: Store; findings: Finding[]; show: Show }) {
  useStore(store);
  if (findings.length === 0) return <p class="all-well"><Icon name="good" />Nothing wrong, nothing doubtful.</p>;
  const lead = (finding: Finding) => {
    const span = finding.span;
    if (span !== null && store.state?.computable) {
      void store.select({ span, span_to: span, first: 1, last: store.state.warp.places });
    }
    if (finding.line && !finding.file) show(finding);
  };
  return (
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
  );
}
