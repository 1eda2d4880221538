/** Search across everything: decks, jobs, notes, faults, parts, lots, instruments, offers, sales. Results stand while one types; down goes into them, Enter opens. */

import { el } from "../dom";
import type { Frame, KeyOffer, Screen } from "../screen";
import { asked, type Page } from "./calls";
import { linkTo, tableView } from "./tableView";

const WAIT_MS = 120;

export class SearchScreen implements Screen {
  readonly title = "Search";
  readonly measurement = null;
  readonly root = el("div", { class: "page book" });
  readonly keys: KeyOffer[];
  private readonly field = el("input", { type: "search", id: "question", autocomplete: "off", maxlength: "200", spellcheck: "false" });
  private readonly found = el("div", { "aria-live": "polite" });
  private waiting = 0;
  private turn = 0;

  constructor(private readonly frame: Frame) {
    this.root.append(el("h1", {}, "Search across everything"), el("p", { class: "field" }, el("label", { for: "question" }, "Words, or how they begin "), this.field), this.found);
    this.keys = [
      { key: "/", label: "search", press: () => this.typeAgain() },
      { key: "ArrowDown", label: "", press: () => this.move(1) },
      { key: "ArrowUp", label: "", press: () => this.move(-1) },
      { key: "Enter", label: "open", press: () => this.open() },
    ];
    this.field.value = new URLSearchParams(location.search).get("q") ?? "";
    this.field.addEventListener("input", () => {
      window.clearTimeout(this.waiting);
      this.waiting = window.setTimeout(() => void this.search(), WAIT_MS);
    });
    this.field.addEventListener("keydown", (event) => {
      if (event.key !== "ArrowDown" && event.key !== "Enter") return;
      event.preventDefault();
      event.stopPropagation();
      if (event.key === "Enter") void this.search().then(() => this.move(1));
      else this.move(1);
    });
    void this.search();
    window.setTimeout(() => this.typeAgain());
  }

  leave(): void { window.clearTimeout(this.waiting); }

  private typeAgain(): void {
    this.field.focus();
    this.field.select();
  }

  private async search(): Promise<void> {
    const turn = ++this.turn, question = this.field.value.trim(), address = `/api/book/search?q=${encodeURIComponent(question)}`;
    const page = await asked<Page>(address);
    if (turn !== this.turn) return; // an earlier answer that came late
    if (location.pathname === "/book/search") history.replaceState(null, "", question ? `/book/search?q=${encodeURIComponent(question)}` : "/book/search");
    if (page.problem) this.found.replaceChildren(el("p", { class: "warning" }, `✗ ${page.problem}`));
    else this.found.replaceChildren(...page.tables.map((t) => tableView(t, address, this.frame.go)), ...(page.links ?? []).map((l) => linkTo(l.to, l.text, this.frame.go)));
  }

  private move(by: number): void {
    const rows = [...this.found.querySelectorAll<HTMLElement>("tbody tr")], at = rows.indexOf(document.activeElement as HTMLElement);
    if (at === 0 && by < 0) this.typeAgain();
    else rows[at < 0 ? 0 : Math.min(rows.length - 1, at + by)]?.focus();
  }

  private open(): void {
    const at = document.activeElement;
    if (at instanceof HTMLAnchorElement || at instanceof HTMLButtonElement) at.click();
    else if (at instanceof HTMLElement && at.dataset["to"]) this.frame.go(at.dataset["to"]);
  }
}
