// Every key of draft and workshop in tables: what it means, its value, which file says it; what she
// writes goes into the one that she has chosen.

import { useEffect, useId, useState } from "preact/hooks";
import { BenchSheet } from "./bench";
import type { Edit, KeyRow, KeyTable, Tables } from "./api";
import { Dialog, Icon, Swatch, useStore } from "./parts";
import type { Store } from "./store";
import { WorkshopFile } from "./workroom";

const TITLES: Record<string, string> = {
  piece: "The piece", yarn: "Yarn", strip: "Strip", unit: "Unit", warp: "Warp", band: "Bands", hang: "Hanging",
  loom: "Loom and weights", adhesive: "Adhesive", stock: "Rods and heddles in stock", rates: "Rates",
};
const YES: Record<string, string> = { true: "yes", false: "no" };
export type Target = "draft" | "workshop";

export function Workshop({ store }: { store: Store }) {
  const [told, setTold] = useState<Tables | null>(null);
  const [target, setTarget] = useState<Target>("draft");
  const [adding, setAdding] = useState("");
  const [measuring, setMeasuring] = useState(false);
  useStore(store);
  useEffect(() => {
    store.try<Tables>("tables", {}).then(setTold).catch((problem: unknown) => store.complain(problem));
  }, [store.state]);
  if (!told) return <p class="soft">The tables come when the text can be read.</p>;
  if (told.trouble) return <p class="soft">The tables come back when the text can be read. {told.trouble}</p>;
  const file = told.workshop;
  const into: Target = file ? target : "draft";
  const edit = (wanted: Edit) =>
    into === "draft" ? store.edit(wanted) : store.workshop("workshop-edit", { edit: wanted, workshop_revision: file?.revision });
  const add = (e: SubmitEvent) => {
    e.preventDefault();
    const name = String(new FormData(e.currentTarget as HTMLFormElement).get("name") ?? "");
    void edit({ do: "add-table", family: adding, name });
    setAdding("");
  };
  const says = (table: KeyTable) => Number(table.rows.some((row) => row.workshop));
  const shown = into === "draft" ? told.tables
    : told.tables.filter((table) => table.shared).sort((a, b) => says(b) - says(a)); // its own first
  const families = into === "draft" ? ["yarn", "strip", "unit"] : ["yarn", "strip"];
  return (
    <div class="workshop">
      <button type="button" onClick={() => setMeasuring(true)}>Bench sheet: measure yarn, beam and bands</button>
      {measuring && <BenchSheet store={store} told={told} close={() => setMeasuring(false)} />}
      <fieldset class="segments"><legend>Write into</legend>
        <label><input type="radio" name="into" checked={into === "draft"} onChange={() => setTarget("draft")} />This piece<small>{told.file}</small></label>
        <label><input type="radio" name="into" checked={into === "workshop"} disabled={!file} onChange={() => setTarget("workshop")} />The workshop<small>{file?.file ?? "none yet"}</small></label>
      </fieldset>
      <p class="soft">{into === "draft"
        ? "What is written here holds for this piece. Emptied, the workshop's value or the default stands again."
        : "What is written here holds for every piece that reads the workshop, unless the piece says otherwise."}</p>
      {(into === "workshop" || !file) && <WorkshopFile store={store} told={told} />}
      {shown.map((table) => (
        <details key={`${into} ${table.family} ${table.name}`}>
          <summary><Essence table={table} into={into} /></summary>
          <ul>{table.rows.map((row) => <Row key={row.path} row={row} into={into} told={told} edit={edit} />)}</ul>
        </details>
      ))}
      <div class="row">
        {families.map((family) => <button key={family} type="button" onClick={() => setAdding(family)}><Icon name="plus" />New {family}</button>)}
      </div>
      {adding && (
        <Dialog title={`A new ${adding}`} close={() => setAdding("")}>
          <form onSubmit={add}>
            <p class="soft">It goes into {into === "draft" ? told.file : file?.file}.</p>
            <label class="field">Its name<input name="name" required maxLength={40} autocomplete="off" /></label>
            <p class="row end"><button class="main">Add it</button></p>
          </form>
        </Dialog>
      )}
    </div>
  );
}

/** A closed table tells the most: its name, its colour, its first values. */
function Essence({ table, into }: { table: KeyTable; into: Target }) {
  const of = (row: KeyRow) => (into === "draft" ? row.value : row.workshop);
  const said = table.rows.filter((row) => of(row) && row.kind !== "colour").slice(0, 2);
  const nothing = into === "draft" ? "defaults" : "nothing in the workshop";
  const colour = table.rows.find((row) => row.kind === "colour")?.value;
  return (
    <>
      {colour && <Swatch colour={colour} />}
      <span>{TITLES[table.family] ?? table.family}{table.name && <b> {table.name}</b>}</span>
      <small class="soft">{said.map(of).join(" · ") || nothing}</small>
    </>
  );
}

interface RowProps { row: KeyRow; into: Target; told: Tables; edit: (edit: Edit) => Promise<boolean> }

function Row({ row, into, told, edit }: RowProps) {
  const about = useId();
  const words = row.key.replaceAll("_", " ");
  const named = { "aria-label": words, "aria-describedby": about };
  const own = into === "draft" ? row.draft : row.workshop;
  const behind = (into === "draft" && row.workshop) || row.default;
  const write = (text: string) => {
    if (text.trim() !== own) void edit({ do: "write", path: row.path, text });
  };
  const options = row.choices.length > 0 ? row.choices : null;
  const elsewhere = into === "workshop" && row.draft ? `${told.file} says ${row.draft}, which wins there` : "";
  const source = own ? `in ${into === "draft" ? told.file : told.workshop?.file}`
    : into === "draft" && row.workshop ? `from ${told.workshop?.file}` : row.default ? "default" : "not said";
  return (
    <li class={own ? "own" : ""}>
      <label>
        <span class="key">{words}<small class="soft" id={about}>{row.says}</small></span>
        <span class="said-here">{options
          ? <select {...named} value={own} onChange={(e) => write(e.currentTarget.value)}>
              <option value="">{(YES[behind] ?? behind) || "not said"}</option>
              {options.map((option) => <option key={option} value={option}>{YES[option] ?? option}</option>)}
            </select>
          : row.kind === "colour"
            ? <input {...named} type="color" value={own || behind || row.value} onChange={(e) => write(e.currentTarget.value)} />
            : <input {...named} key={own} defaultValue={own} placeholder={behind} autocomplete="off" spellcheck={false} onChange={(e) => write(e.currentTarget.value)} />}
          <small class="soft">{source}</small>
        </span>
      </label>
      {elsewhere && <small class="tone-mind">{elsewhere}</small>}
    </li>
  );
}
