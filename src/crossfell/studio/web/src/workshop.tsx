// Every key of the draft in tables: what it means, its value, and who says it.

import { useEffect, useState } from "preact/hooks";
import type { KeyRow, KeyTable } from "./api";
import { Dialog, useStore } from "./parts";
import type { Store } from "./store";

const TITLES: Record<string, string> = {
  piece: "The piece", yarn: "Yarn", strip: "Strip", unit: "Unit", warp: "Warp", band: "Bands", hang: "Hanging",
  loom: "Loom", adhesive: "Adhesive", stock: "Stock", rates: "Rates",
};
const FROM = { draft: "", workshop: "from the workshop", default: "default" };

export function Workshop({ store }: { store: Store }) {
  const [tables, setTables] = useState<KeyTable[] | null>(null);
  const [adding, setAdding] = useState("");
  useStore(store);
  useEffect(() => {
    store.try<{ tables: KeyTable[] }>("tables", {}).then((told) => setTables(told.tables)).catch((problem: unknown) => store.complain(problem));
  }, [store.revision]);
  if (!tables) return <p class="soft">The tables come when the text can be read.</p>;
  const add = (e: SubmitEvent) => {
    e.preventDefault();
    const name = String(new FormData(e.currentTarget as HTMLFormElement).get("name") ?? "");
    void store.edit({ do: "add-table", family: adding, name });
    setAdding("");
  };
  return (
    <div class="workshop">
      <p class="soft">What is written here goes into the draft. Emptied, the workshop's value or the default stands again.</p>
      {tables.map((table) => (
        <details key={`${table.family} ${table.name}`}>
          <summary>{TITLES[table.family] ?? table.family}{table.name && <small>{table.name}</small>}</summary>
          <ul>{table.rows.map((row) => <Row key={row.path} row={row} store={store} />)}</ul>
        </details>
      ))}
      <div class="row">
        {["yarn", "strip", "unit"].map((family) => <button key={family} type="button" onClick={() => setAdding(family)}>New {family}</button>)}
      </div>
      {adding && (
        <Dialog title={`A new ${adding}`} close={() => setAdding("")}>
          <form onSubmit={add}>
            <label class="field">Its name<input name="name" required maxLength={40} autocomplete="off" /></label>
            <p class="row end"><button class="main">Add it</button></p>
          </form>
        </Dialog>
      )}
    </div>
  );
}

function Row({ row, store }: { row: KeyRow; store: Store }) {
  const write = (text: string) => {
    if (text.trim() === (row.from === "draft" ? row.value : "")) return;
    void store.edit({ do: "write", path: row.path, text });
  };
  const options = row.kind.startsWith("one-of:") ? row.kind.slice(7).split("|") : row.kind === "yes" ? ["true", "false"] : null;
  const placeholder = row.from === "workshop" ? row.value : row.default;
  const own = row.from === "draft" ? row.value : "";
  const help = [row.says, placeholder || row.from === "draft" ? FROM[row.from] : ""].filter(Boolean).join(" · ");
  return (
    <li>
      <label>
        <span>{row.key.replaceAll("_", " ")}</span>
        <small class="soft">{help}</small>
        {options
          ? <select value={own} onChange={(e) => write(e.currentTarget.value)}>
              <option value="">{placeholder || "not said"}</option>
              {options.map((option) => <option key={option} value={option}>{option}</option>)}
            </select>
          : row.kind === "colour"
            ? <input type="color" value={row.value || row.default} onChange={(e) => write(e.currentTarget.value)} />
            : <input key={own} defaultValue={own} placeholder={placeholder} autocomplete="off" spellcheck={false} onChange={(e) => write(e.currentTarget.value)} />}
      </label>
    </li>
  );
}
