/** What every page of the service book has: its data, rows to be chosen by keys, what can be written, and undoing it. */

import { el } from "../dom";
import type { Frame, KeyOffer, Screen } from "../screen";
import { asked, write, type Page, type Written } from "./calls";
import { Form, type Field } from "./form";
import { linkTo, tableView } from "./tableView";
import { redo, undo, wrote } from "./undoing";

let form: Form | null = null;

export class BookScreen<P extends Page = Page> implements Screen {
  readonly measurement = null;
  readonly root = el("div", { class: "page book" });
  protected page: P | null = null;
  private chosen: { table: string; id: string } | null = null;

  /**
   * @param address Where its data comes from.
   * @param own Its own keys.
   * @param more What it shows above its tables.
   */
  constructor(protected readonly frame: Frame, readonly title: string, protected readonly address: string, private readonly own: (screen: BookScreen<P>) => KeyOffer[] = () => [], private readonly more: (page: P, screen: BookScreen<P>) => (Node | null)[] = () => []) {
    this.root.append(el("h1", {}, title), el("p", { class: "faint" }, "Reading the book …"));
    this.root.addEventListener("focusin", (event) => this.choose((event.target as HTMLElement).closest("tr")));
    void this.load();
  }

  get keys(): KeyOffer[] {
    return [
      ...this.own(this),
      { key: "Enter", label: "", press: () => this.openRow() },
      { key: "ArrowDown", label: "", press: () => this.move(1) },
      { key: "ArrowUp", label: "", press: () => this.move(-1) },
      { key: "ArrowRight", label: "", press: () => this.otherTable(1) },
      { key: "ArrowLeft", label: "", press: () => this.otherTable(-1) },
      { key: "Z", label: "undo", press: () => void this.undone(undo()) },
      { key: "Y", label: "do again", press: () => void this.undone(redo()) },
    ];
  }

  get data(): P | null { return this.page; }

  async load(): Promise<void> {
    const page = await asked<P>(this.address);
    if (page.problem) {
      this.root.replaceChildren(el("h1", {}, this.title), el("p", { class: "warning", role: "alert" }, `✗ ${page.problem}`));
      return;
    }
    this.page = page;
    this.draw(page);
    this.frame.keysChanged();
  }

  /** The chosen row's id in a table; null: none is chosen there. */
  rowId(table?: string): string | null {
    return this.chosen && (!table || this.chosen.table === table) ? this.chosen.id : null;
  }

  /** The texts of the chosen row. */
  rowCells(): string[] { return this.page?.tables.find((t) => t.id === this.chosen?.table)?.rows.find((r) => r.id === this.chosen?.id)?.cells.map((c) => (c === null ? "" : String(c))) ?? []; }

  /** Writes, says what was written, and shows the page anew; a text: why it was refused. */
  async write(address: string, said: Record<string, unknown>): Promise<string | null> { return this.took(await write(address, said)); }

  took(written: Written): string | null {
    if (written.problem) {
      this.frame.tell(`✗ ${written.problem}`);
      return written.problem;
    }
    wrote(written);
    this.frame.tell(`✓ ${written.said}${written.entries.length > 0 || written.act ? " Z undoes it." : ""}`, written.to ?? undefined);
    if (written.to) this.frame.go(written.to);
    else void this.load();
    return null;
  }

  /** A form whose fields go to an address. */
  fill(title: string, take: string, address: string, fields: Field[], fixed: Record<string, unknown> = {}, note = ""): void {
    form ??= new Form();
    form.open(title, take, fields, (said) => this.write(address, { ...said, ...fixed }), note);
  }

  /** Needs a chosen row, or says how to choose one. */
  withRow(table: string, what: string, go: (id: string) => void): void {
    const id = this.rowId(table);
    if (id) go(id);
    else this.frame.tell(`Choose ${what} first: ↑ and ↓ go from row to row.`);
  }

  protected draw(page: P): void {
    this.root.replaceChildren(...this.head(page), ...this.more(page, this).filter((n) => n !== null), ...page.tables.map((t) => tableView(t, this.address, this.frame.go)));
    this.restore();
  }

  protected head(page: P): HTMLElement[] {
    return [
      el("h1", {}, page.title),
      ...page.warnings.map((w) => el("p", { class: "warning", role: "alert" }, `! ${w}`)),
      ...page.lines.map((l) => el("p", { class: "line" }, l)),
      ...(page.links.length > 0 ? [el("p", { class: "ways" }, ...page.links.flatMap((l) => [l.apart ? el("a", { href: l.to, target: "_blank", rel: "noopener" }, l.text) : linkTo(l.to, l.text, this.frame.go), " "]))] : []),
    ];
  }

  /** After the page was drawn anew: the row that was chosen is chosen still. */
  protected restore(): void {
    const row = this.chosen && this.root.querySelector<HTMLElement>(`[data-table="${this.chosen.table}"] tr[data-id="${CSS.escape(this.chosen.id)}"]`);
    if (row && !document.querySelector("dialog[open]") && !(document.activeElement instanceof HTMLInputElement)) row.focus({ preventScroll: false });
    else if (row) this.choose(row);
  }

  protected choose(row: HTMLElement | null): void {
    if (!row?.closest("tbody")) return;
    this.root.querySelectorAll("tr[aria-current]").forEach((r) => r.removeAttribute("aria-current"));
    row.setAttribute("aria-current", "true");
    this.chosen = row.dataset["id"] ? { table: row.closest<HTMLElement>("[data-table]")!.dataset["table"]!, id: row.dataset["id"] } : null;
    this.rowChosen();
  }

  protected rowChosen(): void { /* a page with a part beside its rows shows it here */ }

  protected move(by: number): void {
    const rows = [...this.root.querySelectorAll<HTMLElement>("tbody tr")], at = rows.findIndex((r) => r.getAttribute("aria-current") === "true");
    const row = rows[at < 0 ? 0 : Math.max(0, Math.min(rows.length - 1, at + by))];
    row?.focus();
    row?.scrollIntoView({ block: "nearest" });
  }

  protected otherTable(by: number): void {
    const tables = [...this.root.querySelectorAll<HTMLElement>("[data-table]")].filter((t) => t.querySelector("tbody tr"));
    const at = tables.findIndex((t) => t.querySelector("tr[aria-current]"));
    tables[at < 0 ? 0 : (at + by + tables.length) % tables.length]?.querySelector<HTMLElement>("tbody tr")?.focus();
  }

  private openRow(): void {
    const at = document.activeElement;
    if (at instanceof HTMLAnchorElement || at instanceof HTMLButtonElement) {
      at.click();
      return;
    }
    const to = this.root.querySelector<HTMLElement>("tr[aria-current]")?.dataset["to"];
    if (to?.startsWith("/api/")) this.root.querySelector<HTMLAnchorElement>("tr[aria-current] a")?.click();
    else if (to) this.frame.go(to);
  }

  private async undone(step: Promise<string>): Promise<void> {
    this.frame.tell(await step);
    await this.load();
  }
}
