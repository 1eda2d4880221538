/** A table of a page: rows to be chosen by keys, signs beside words of state, CSV and JSON beside its title. */

import { el } from "../dom";
import type { Cell, Column, Row, Table } from "./calls";

/** A sign for each word, so that no state is told by colour alone. */
const SIGNS: Record<string, string> = {
  done: "✓", works: "✓", fixed: "✓", trusted: "✓", enough: "✓", good: "✓", closed: "✓", bought: "✓", right: "✓", "gone, by no task that mends it": "≈", "wrong, or not mended": "✗", "still there, not mended": "✗", "not read again": "?", "not to be told": "?", stands: "✓",
  running: "▶", open: "○", waits: "…", skipped: "–", "not there": "–", declined: "–", accepted: "≈", "not tried": "?",
  fault: "✗", "in doubt": "!", doubted: "!", "order again": "!", "taken back": "↶", "corrected later": "↷", undone: "↶", drifted: "!", "not proven": "≈", "not known": "?",
};

const KINDS: Record<string, string> = { "✓": "met", "✗": "not-met", "!": "not-met", "▶": "not-proven", "?": "not-proven" };

/** @param address Where its page's data comes from: CSV and JSON lie at the same address. */
export function tableView(table: Table, address: string, go: (path: string) => void): HTMLElement {
  const file = (as: string): HTMLElement => el("a", { href: `${address}${address.includes("?") ? "&" : "?"}table=${table.id}&as=${as}`, download: "", "aria-label": `${table.title} as ${as.toUpperCase()}` }, as.toUpperCase());
  const more = table.count > table.rows.length ? el("p", { class: "faint" }, `${table.rows.length} of ${table.count} shown; CSV and JSON have all.`) : null;
  return el("section", { class: "book-table", "data-table": table.id }, el("div", { class: "tablehead" }, el("h2", {}, table.title), table.rows.length > 0 ? el("span", { class: "files" }, file("csv"), " ", file("json")) : null),
    table.rows.length === 0 ? el("p", { class: "faint" }, table.empty)
      : el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": table.title }, el("table", {},
        el("thead", {}, el("tr", {}, ...table.columns.map((c) => el("th", { scope: "col", ...(c.kind === "figures" ? { class: "number" } : {}) }, c.head)))),
        el("tbody", {}, ...table.rows.map((row) => rowView(row, table.columns, go))))),
    more);
}

function rowView(row: Row, columns: Column[], go: (path: string) => void): HTMLElement {
  const line = el("tr", { tabindex: "-1", ...(row.id ? { "data-id": row.id } : {}), ...(row.to ? { "data-to": row.to } : {}) },
    ...row.cells.map((cell, i) => i === 0 ? el("th", { scope: "row", ...classOf(cell, columns[i]!) }, row.to ? linkTo(row.to, text(cell), go) : text(cell)) : cellView(cell, columns[i]!)));
  line.addEventListener("click", () => line.focus());
  return line;
}

function cellView(cell: Cell, column: Column): HTMLElement {
  const said = text(cell);
  if (said.startsWith("/api/book/table/")) return el("td", {}, el("a", { href: said, download: "" }, column.head));
  if (column.kind !== "state" || said === "") return el("td", classOf(cell, column), said);
  const sign = SIGNS[said] ?? "";
  return el("td", { class: "state", ...(KINDS[sign] ? { "data-verdict": KINDS[sign]! } : {}) }, sign ? `${sign} ${said}` : said);
}

// A day, a lot's or a serial number is one word, though it has hyphens or blanks in it: it is not broken at them.
const classOf = (cell: Cell, column: Column): Record<string, string> => (column.kind === "figures" ? { class: "number" } : /^\S{1,12}$|^[\d ]{1,12}$|^\d{4}-\d\d-\d\d \d\d:\d\d$/.test(text(cell)) ? { class: "short" } : {});

// What belongs to one figure stays on one line.
const text = (cell: Cell): string => (cell === null ? "" : typeof cell === "number" ? String(cell).replace("-", "−") : String(cell).replaceAll(" ± ", "\u00a0±\u00a0"));

/** A link to another page of the bench, which keeps the page's sound and socket. */
export function linkTo(to: string, said: string, go: (path: string) => void): HTMLAnchorElement {
  if (to.startsWith("/api/")) return el("a", { href: to, download: "" }, said);
  const link = el("a", { href: to }, said);
  link.addEventListener("click", (event) => {
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    go(to);
  });
  return link;
}
