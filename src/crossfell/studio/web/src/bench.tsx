// The bench sheet: what to measure, what the readings come to, what that would change in the piece.

import { useEffect, useState } from "preact/hooks";
import { Refused, type Measured, type Tables, type Trial } from "./api";
import { Dialog, Icon } from "./parts";
import type { Store } from "./store";

export function BenchSheet({ store, told, close }: { store: Store; told: Tables; close: () => void }) {
  const [trials, setTrials] = useState<Trial[]>([]);
  useEffect(() => {
    store.try<{ trials: Trial[] }>("trials", {}).then((answer) => setTrials(answer.trials)).catch((problem: unknown) => {
      store.complain(problem);
      close();
    });
  }, []);
  return (
    <Dialog title="Bench sheet" close={close} wide>
      <div class="bench">
        <div class="row bench-head">
          <p>What is measured takes the place of a default. Type what you read off, see what it would change in {store.title}, then take it over. Printed, the sheet is filled in by hand.</p>
          <button type="button" onClick={() => print()}>Print the sheet</button>
        </div>
        <ol class="trials">{trials.map((one) => <li key={one.name}><TrialCard store={store} told={told} trial={one} /></li>)}</ol>
      </div>
    </Dialog>
  );
}

function TrialCard({ store, told, trial }: { store: Store; told: Tables; trial: Trial }) {
  const [found, setFound] = useState<Measured | null>(null);
  const [trouble, setTrouble] = useState("");
  const [readings, setReadings] = useState<Record<string, string>>({});
  const [taken, setTaken] = useState("");
  const measure = async (e: SubmitEvent) => {
    e.preventDefault();
    const said = Object.fromEntries([...new FormData(e.currentTarget as HTMLFormElement)].map(([name, text]) => [name, String(text)]));
    setTaken("");
    try {
      await store.flush?.();
      setReadings(said);
      setFound(await store.try<Measured>("measured", { trial: trial.name, readings: said }));
      setTrouble("");
    } catch (problem) {
      if (!(problem instanceof Refused)) throw problem;
      setFound(null);
      setTrouble(problem.message);
    }
  };
  const take = async (into: "draft" | "workshop") => {
    const asked = { trial: trial.name, readings, into, revision: store.revision, workshop_revision: told.workshop?.revision };
    if (await store.workshop("take-measured", asked)) setTaken(into === "draft" ? told.file : (told.workshop?.file ?? ""));
  };
  return (
    <section class="trial">
      <h3>{trial.gives}</h3>
      <ol class="steps">{trial.do.map((step) => <li key={step}>{step}</li>)}</ol>
      <form onSubmit={measure}>
        <div class="row">
          {trial.readings.map((reading) => (
            <label key={reading.name} class="field">{reading.asks}
              {reading.options.length > 0
                ? <select name={reading.name}>{reading.options.map((option) => <option key={option} value={option}>{option}</option>)}</select>
                : <input name={reading.name} defaultValue={reading.default} autocomplete="off" spellcheck={false} />}
            </label>
          ))}
        </div>
        <p class="row end"><button class="main">What comes of it?</button></p>
      </form>
      {trouble && <p class="trouble" role="alert">{trouble}</p>}
      {found && (
        <div class="measured" role="status">
          <p><b>{found.says}</b><small class="soft"> {found.now}</small></p>
          <Effects found={found} />
          {taken
            ? <p class="all-well"><Icon name="good" />Taken into {taken}.</p>
            : (
              <div class="row">
                <button type="button" onClick={() => void take("draft")}>Take into {told.file}</button>
                {found.shared && told.workshop && <button type="button" onClick={() => void take("workshop")}>Take into {told.workshop.file}</button>}
                {found.shared && found.wins.length > 0 && told.workshop && (
                  <p class="tone-mind">{told.file} says {found.wins.join(" and ")} itself: what is taken into the workshop does not change this piece.</p>
                )}
              </div>
            )}
        </div>
      )}
    </section>
  );
}

function Effects({ found }: { found: Measured }) {
  if (found.broken) return <p class="tone-bad">With this value the draft has errors.</p>;
  if (found.effects.length === 0) return <p>No number that is shown changes in this piece.</p>;
  return (
    <table class="effects">
      <caption>What it would change in this piece</caption>
      <thead><tr><th scope="col">Number</th><th scope="col">now</th><th scope="col">then</th></tr></thead>
      <tbody>
        {found.effects.map(({ label, before, after }) => <tr key={label}><th scope="row">{label}</th><td>{before}</td><td><b>{after}</b></td></tr>)}
      </tbody>
    </table>
  );
}
