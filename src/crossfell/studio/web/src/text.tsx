// The draft's text, always in step both ways: what is typed goes to the server as it is, what
// comes from there changes only the letters that changed, so that the cursor stays.

import { defaultKeymap } from "@codemirror/commands";
import { StreamLanguage, syntaxHighlighting, HighlightStyle } from "@codemirror/language";
import { toml } from "@codemirror/legacy-modes/mode/toml";
import { Annotation, ChangeSet, EditorState, StateEffect, StateField, Transaction } from "@codemirror/state";
import { Decoration, drawSelection, EditorView, highlightActiveLine, highlightActiveLineGutter, hoverTooltip, keymap, lineNumbers, type DecorationSet } from "@codemirror/view";
import { tags } from "@lezer/highlight";
import { useEffect, useRef } from "preact/hooks";
import type { Finding } from "./api";
import { useStore } from "./parts";
import type { Store } from "./store";

const WAIT_MS = 350;
const fromServer = Annotation.define<boolean>();
const setFindings = StateEffect.define<Finding[]>();

export interface TextProps { store: Store; findings: Finding[]; line: { line: number; column: number; length: number } | null }

export function TextArea({ store, findings, line }: TextProps) {
  const holder = useRef<HTMLDivElement>(null);
  const text = useRef<Text | null>(null);
  useStore(store);
  useEffect(() => {
    if (!holder.current) return;
    const made = new Text(holder.current, store);
    text.current = made;
    return () => {
      void made.close();
      text.current = null;
    };
  }, [store]);
  useEffect(() => text.current?.take(store.state?.text ?? ""), [store.state, store.disagreement]);
  useEffect(() => text.current?.underline(findings), [findings]);
  useEffect(() => {
    if (line) text.current?.show(line);
  }, [line]);
  return <div ref={holder} class="text-holder" />;
}

class Text {
  private readonly view: EditorView;
  private unsent: ChangeSet;
  private sent: string; // the text that the server has from us
  private timer = 0;
  private sending: Promise<void> | null = null;

  constructor(holder: HTMLElement, private readonly store: Store) {
    const root = holder.shadowRoot ?? holder.attachShadow({ mode: "open" });
    root.replaceChildren();
    this.sent = plain(store.state?.text ?? "");
    this.unsent = ChangeSet.empty(this.sent.length);
    this.view = new EditorView({
      parent: root as unknown as HTMLElement,
      root,
      state: EditorState.create({
        doc: this.sent,
        extensions: [
          lineNumbers(), highlightActiveLine(), highlightActiveLineGutter(), drawSelection(),
          EditorState.tabSize.of(4), EditorView.lineWrapping, underlines, said, theme,
          StreamLanguage.define(toml), syntaxHighlighting(colours),
          EditorView.contentAttributes.of({ "aria-label": "Text of the draft", spellcheck: "false", tabindex: "0" }),
          keymap.of([
            { key: "Mod-z", run: () => this.walk("undo"), preventDefault: true },
            { key: "Mod-Shift-z", run: () => this.walk("redo"), preventDefault: true },
            { key: "Mod-y", run: () => this.walk("redo"), preventDefault: true },
            { key: "Escape", run: () => leave(holder) },
            ...defaultKeymap.filter((binding) => binding.key !== "Mod-z"),
          ]),
          EditorView.updateListener.of((update) => {
            const typed = update.transactions.filter((t) => t.docChanged && !t.annotation(fromServer));
            for (const transaction of typed) this.typed(transaction);
          }),
        ],
      }),
    });
    store.flush = () => this.flush();
    addEventListener("beforeunload", this.leaving);
  }

  private readonly leaving = (e: BeforeUnloadEvent) => {
    if (this.sending || !this.unsent.empty) e.preventDefault();
  };

  /** The server's text: only what is different is changed, around what is typed and not sent. */
  take(text: string): void {
    const wanted = plain(text);
    if (this.sending || this.store.disagreement) return;
    if (wanted !== this.sent) this.rebase(wanted);
    if (!this.unsent.empty) this.later();
  }

  underline(findings: Finding[]): void {
    this.view.dispatch({ effects: setFindings.of(findings) });
  }

  show({ line, column, length }: { line: number; column: number; length: number }): void {
    const doc = this.view.state.doc;
    const row = doc.line(Math.min(Math.max(line, 1), doc.lines));
    const anchor = Math.min(row.from + Math.max(column - 1, 0), row.to);
    const head = Math.min(anchor + length, row.to);
    this.view.dispatch({ selection: { anchor, head }, effects: EditorView.scrollIntoView(anchor, { y: "center" }) });
    this.view.focus();
  }

  async flush(): Promise<void> {
    clearTimeout(this.timer);
    while (this.sending || !this.unsent.empty) {
      if (this.sending) await this.sending;
      else await this.send();
      if (this.store.trouble || this.store.disagreement) return;
    }
  }

  async close(): Promise<void> {
    this.store.flush = null;
    await this.flush();
    removeEventListener("beforeunload", this.leaving);
    this.view.destroy();
  }

  private typed(transaction: Transaction): void {
    this.unsent = this.unsent.compose(transaction.changes);
    this.later();
  }

  private later(): void {
    clearTimeout(this.timer);
    this.timer = window.setTimeout(() => void this.flush(), WAIT_MS);
  }

  private send(): Promise<void> {
    const now = this.store.state ? plain(this.store.state.text) : this.sent;
    if (now !== this.sent) this.rebase(now); // so that text and revision belong together
    const text = this.view.state.doc.toString();
    const before = { sent: this.sent, change: this.unsent };
    this.unsent = ChangeSet.empty(text.length);
    this.sent = text;
    this.sending = this.store.text(text).then((now) => {
      this.sending = null;
      if (now !== null && plain(now) !== this.sent) this.rebase(plain(now));
      if (now === null && !this.store.disagreement) {
        this.sent = before.sent; // it did not arrive: it is still to be sent
        this.unsent = before.change.compose(this.unsent);
      }
    });
    return this.sending;
  }

  private rebase(text: string): void {
    const change = ChangeSet.of(difference(this.sent, text), this.sent.length);
    this.view.dispatch({ changes: change.map(this.unsent), annotations: [fromServer.of(true), Transaction.addToHistory.of(false)] });
    this.unsent = this.unsent.map(change, true);
    this.sent = text;
  }

  private walk(way: "undo" | "redo"): boolean {
    void (way === "undo" ? this.store.undo() : this.store.redo());
    return true;
  }
}

function leave(holder: HTMLElement): boolean {
  const tab = holder.ownerDocument.querySelector<HTMLElement>('[role="tab"][aria-selected="true"]');
  tab?.focus();
  return true;
}

function plain(text: string): string {
  return text.replaceAll("\r\n", "\n").replaceAll("\r", "\n");
}

/** The one stretch in which two texts differ. */
function difference(old: string, now: string): { from: number; to: number; insert: string } {
  const most = Math.min(old.length, now.length);
  let head = 0;
  while (head < most && old[head] === now[head]) head += 1;
  let tail = 0;
  while (tail < most - head && old[old.length - 1 - tail] === now[now.length - 1 - tail]) tail += 1;
  return { from: head, to: old.length - tail, insert: now.slice(head, now.length - tail) };
}

interface Marked { marks: DecorationSet; findings: Finding[] }

const underlines = StateField.define<Marked>({
  create: () => ({ marks: Decoration.none, findings: [] }),
  update(value, transaction) {
    for (const effect of transaction.effects) {
      if (!effect.is(setFindings)) continue;
      const doc = transaction.state.doc;
      const marks = effect.value
        .filter((f) => f.line > 0 && f.line <= doc.lines && !f.file)
        .map((f) => {
          const row = doc.line(f.line);
          const from = Math.min(row.from + Math.max(f.column - 1, 0), row.to);
          const to = Math.min(Math.max(from + (f.length || row.length), from + 1), row.to);
          return { from: Math.min(from, to), to, kind: f.severity };
        })
        .filter(({ from, to }) => to > from)
        .sort((a, b) => a.from - b.from || a.to - b.to)
        .map(({ from, to, kind }) => Decoration.mark({ class: `found-${kind}` }).range(from, to));
      return { marks: Decoration.set(marks), findings: effect.value };
    }
    return transaction.docChanged ? { ...value, marks: value.marks.map(transaction.changes) } : value;
  },
  provide: (field) => EditorView.decorations.from(field, (value) => value.marks),
});

const said = hoverTooltip((view, position) => {
  const line = view.state.doc.lineAt(position);
  const here = view.state.field(underlines).findings.filter((f) => f.line === line.number && !f.file);
  if (here.length === 0) return null;
  return {
    pos: line.from, above: true,
    create: () => {
      const dom = document.createElement("div");
      dom.className = "found-words";
      for (const finding of here) {
        const row = document.createElement("p");
        row.textContent = [finding.says, finding.known, finding.instead].filter(Boolean).join("; ");
        dom.append(row);
      }
      return { dom };
    },
  };
});

const theme = EditorView.theme({
  "&": { height: "100%", color: "var(--ink)", backgroundColor: "var(--page)", fontSize: "0.95rem" },
  "&.cm-focused": { outline: "none" },
  ".cm-scroller": { fontFamily: "ui-monospace, 'DejaVu Sans Mono', Menlo, Consolas, monospace", lineHeight: "1.55", overflow: "auto" },
  ".cm-content": { caretColor: "var(--ink)" },
  ".cm-cursor": { borderLeftColor: "var(--ink)", borderLeftWidth: "2px" },
  ".cm-gutters": { backgroundColor: "var(--paper)", color: "var(--soft)", border: "none" },
  ".cm-activeLine": { backgroundColor: "color-mix(in srgb, var(--blue) 8%, transparent)" },
  ".cm-activeLineGutter": { backgroundColor: "color-mix(in srgb, var(--blue) 14%, transparent)", color: "var(--ink)" },
  "&.cm-focused > .cm-scroller > .cm-selectionLayer .cm-selectionBackground, .cm-selectionBackground": { backgroundColor: "color-mix(in srgb, var(--blue) 26%, transparent)" },
  ".found-error": { textDecoration: "underline wavy var(--bad) 2px", textUnderlineOffset: "3px" },
  ".found-doubt": { textDecoration: "underline wavy var(--mind) 2px", textUnderlineOffset: "3px" },
  ".found-advice": { textDecoration: "underline dotted var(--soft) 2px", textUnderlineOffset: "3px" },
  ".cm-tooltip": { backgroundColor: "var(--page)", color: "var(--ink)", border: "1px solid var(--edge)", padding: "4px 12px", maxWidth: "32rem" },
});

const colours = HighlightStyle.define([
  { tag: tags.comment, color: "var(--soft)", fontStyle: "italic" },
  { tag: [tags.string, tags.special(tags.string)], color: "var(--good)" },
  { tag: [tags.number, tags.bool, tags.atom], color: "var(--mind)" },
  { tag: [tags.propertyName, tags.keyword, tags.typeName], color: "var(--blue)" },
]);
