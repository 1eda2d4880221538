/** Readings in a table, over the screen but not in its way: keys go on working. */

import type { Note, Reading } from "./link";
import { digitsFor, el, hertz, signed, verdictMark } from "./dom";

export class ReadingsPanel {
  private readonly panel = el("aside", { class: "kept", "aria-label": "Readings kept", "data-test": "readings", hidden: "" });

  constructor() { document.body.append(this.panel); }

  get isOpen(): boolean { return !this.panel.hidden; }

  show(title: string, readings: Reading[], notes: Note[]): void {
    const close = el("button", { type: "button", class: "key" }, el("kbd", {}, "V"), " close");
    close.addEventListener("click", () => this.hide());
    this.panel.replaceChildren(el("h2", {}, title), el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Readings" }, readingsTable(readings), el("ul", {}, ...notes.map((n) => el("li", {}, n.text)))), close);
    this.panel.hidden = false;
  }

  hide(): void { this.panel.hidden = true; }
}

export function readingsTable(readings: Reading[]): HTMLElement {
  return el("table", {}, el("thead", {}, el("tr", {}, ...["quantity", "channel", "tone", "value", "limit", "verdict"].map((t) => el("th", { scope: "col" }, t)))),
    el("tbody", {}, ...readings.map((r) => el("tr", {}, el("th", { scope: "row" }, r.quantity), el("td", {}, r.channel), el("td", {}, r.frequencyHz ? hertz(r.frequencyHz) : ""),
      el("td", { class: "number", "data-quantity": r.quantity, "data-value": String(r.value) }, `${signed(r.value, digitsFor(r.uncertainty, 4))} ${r.uncertainty === null ? "" : "± " + r.uncertainty.toFixed(digitsFor(r.uncertainty, 4))} ${r.unit}`), el("td", {}, r.limit ?? ""), el("td", { "data-verdict": r.verdict ?? "" }, r.verdict ? verdictMark[r.verdict]! : "")))));
}
