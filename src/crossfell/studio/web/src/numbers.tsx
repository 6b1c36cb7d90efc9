// The numbers along the lower edge, and "why" on any of them.

import { useState } from "preact/hooks";
import { Refused, type Because, type Num } from "./api";
import { Dialog, Icon, useStore } from "./parts";
import type { Store } from "./store";

type Show = (where: { line: number; column: number; length: number }) => void;

export function Numbers({ store, show }: { store: Store; show: Show }) {
  const [because, setBecause] = useState<Because | null>(null);
  useStore(store);
  const now = store.trial ?? store.state?.numbers ?? [];
  const later = store.trialLater ?? store.later?.numbers ?? [];
  const stale = store.trial !== null ? store.trialLater === null : store.later?.revision !== store.revision;
  const ask = async (what: string) => {
    try {
      setBecause(await store.try<Because>("why", { what }));
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      store.complain(problem);
    }
  };
  if (!store.state?.computable) {
    return <section class="numbers" aria-label="Numbers"><p class="soft">Numbers come back when the errors are set right.</p></section>;
  }
  return (
    <section class={`numbers ${store.trial ? "trying" : ""}`} aria-label="Numbers">
      {now.map((n) => <Cell key={n.key} number={n} ask={ask} />)}
      {later.map((n) => <Cell key={n.key} number={n} ask={ask} stale={stale} />)}
      {because && <Why because={because} close={() => setBecause(null)} show={show} ask={ask} />}
    </section>
  );
}

const MARKS = { plain: "", good: "good", mind: "mind", bad: "bad" };

function Cell({ number, ask, stale }: { number: Num; ask: (what: string) => void; stale?: boolean }) {
  return (
    <button type="button" class={`number tone-${number.tone} ${stale ? "stale" : ""}`} data-number={number.key} onClick={() => ask(number.why)}>
      <span class="label">{number.label}<span class="unseen">, why?</span></span>
      <span class="value">{MARKS[number.tone] && <Icon name={MARKS[number.tone]} />}{number.value}</span>
    </button>
  );
}

function Why({ because, close, show, ask }: { because: Because; close: () => void; show: Show; ask: (what: string) => void }) {
  return (
    <Dialog title="Why this number" close={close}>
      <p class="why-says">{because.says}</p>
      <p class="why-value"><b>{because.what}</b> = {because.shown}</p>
      <dl class="why">
        <dt>Rule</dt><dd>{because.rule}</dd>
        <dt>{because.solved ? "Holds" : "Formula"}</dt><dd>{because.formula}</dd>
        <dt>Source</dt><dd>{because.source}</dd>
        {because.put.length > 0 && <><dt>Put in</dt><dd>
          <ul>{because.put.map((row) => <li key={row.name}>
            {row.parts.length > 0
              ? <details><summary>{row.name}: {row.shown}</summary><ul>{row.parts.map((part) => <li key={part.name}><Down {...part} ask={ask} /></li>)}</ul></details>
              : <Down {...row} ask={ask} />}
          </li>)}</ul>
        </dd></>}
      </dl>
      {because.lines.map((line) => (
        <button key={line} type="button" class="quiet" onClick={() => { close(); show({ line, column: 1, length: 0 }); }}>Line {line}</button>
      ))}
      <form class="row" onSubmit={(e) => {
        e.preventDefault();
        const asked = String(new FormData(e.currentTarget as HTMLFormElement).get("what") ?? "");
        if (asked) ask(asked);
      }}>
        <label class="field">Another number, as spans.3.max_lean<input name="what" autocomplete="off" /></label>
        <button>Why?</button>
      </form>
    </Dialog>
  );
}

/** A value put in; when it is a number of its own, it leads down to how that came about. */
function Down({ name, shown, way, ask }: { name: string; shown: string; way: string; ask: (what: string) => void }) {
  if (!way) return <>{name}: {shown}</>;
  return <button type="button" class="link" data-way={way} onClick={() => ask(way)}>{name}: {shown}<span class="unseen">, why?</span></button>;
}
