/** What has and has not been proven of a deck: every condition against every measurement, with the margin to the limit, what is in doubt, and what comes next. */

import type { Frame, KeyOffer, Screen } from "./screen";
import { choice, save } from "./state";
import { digitsFor, el, hertz, plusMinus, signed, verdictMark } from "./dom";
import { placeOf } from "./places";

interface Cell { measurement?: string; channel: string; verdict: string; why: string | null; mark: string | null; doubt: string | null; name?: string; value?: number; unit?: string; limit?: string; uncertainty?: number | null; frequencyHz?: number | null; margin?: number | null }
interface Row { direction: "forward" | "reverse"; speed: number; setting: string | null; cells: Cell[] }
interface Part { scope: "gauges" | "playback" | "record"; columns: { measurement: string; channel: string }[]; rows: Row[] }
interface Matrix { profile: string; serial: string; what: string; directions: string[]; speeds: number[]; settings: string[]; measurements: { id: string; name: string; play: string }[]; parts: Part[]; next?: Row & Cell; problem?: string }

const SCOPES: Record<Part["scope"], string> = { gauges: "By gauge and stopwatch, once for all speeds", playback: "Played", record: "Recorded, each tape setting" };

export class MatrixScreen implements Screen {
  readonly title = "Matrix";
  readonly measurement = null;
  readonly root = el("div", { class: "page" });
  readonly keys: KeyOffer[];
  private matrix: Matrix | null = null;

  constructor(private readonly frame: Frame) {
    this.keys = [
      { key: "N", label: "begin what comes next", press: () => this.begin(this.matrix?.next) },
      { key: "W", label: "what ails it", press: () => this.why() },
      { key: "R", label: "record", press: () => { if (choice.job) window.open(`/record/${choice.job}`, "_blank", "noopener"); } },
      { key: "ArrowLeft", label: "", press: () => this.move(0, -1) },
      { key: "ArrowRight", label: "", press: () => this.move(0, 1) },
      { key: "ArrowUp", label: "", press: () => this.move(-1, 0) },
      { key: "ArrowDown", label: "", press: () => this.move(1, 0) },
    ];
    void this.load();
  }

  private async load(): Promise<void> {
    if (!choice.job) {
      this.root.replaceChildren(el("h1", {}, "No deck chosen"), el("p", {}, "Press 1 and choose one: its matrix shows what has and has not been proven."));
      return;
    }
    const answer = await fetch(`/api/jobs/${choice.job}/matrix`);
    const matrix = (await answer.json()) as Matrix;
    if (matrix.problem) {
      this.root.replaceChildren(el("h1", {}, "This deck is not in the book"), el("p", {}, `${matrix.problem} Press 1 and choose another.`));
      return;
    }
    this.matrix = matrix;
    save({ deck: `${matrix.profile}, ${matrix.serial}`, speeds: matrix.speeds, directions: matrix.directions, settings: matrix.settings });
    this.root.replaceChildren(el("h1", {}, `${matrix.profile}, ${matrix.serial}`), this.next(matrix),
      el("p", { class: "faint" }, "Arrow keys go from cell to cell, Enter begins what stands there, W asks what ails it. ▶ comes next; ! was measured before something was turned that it hangs on."),
      ...matrix.parts.map((part) => this.part(matrix, part)));
  }

  private next(matrix: Matrix): HTMLElement {
    if (!matrix.next) return el("p", { class: "nextline" }, "Every cell is met, and none is in doubt.");
    const name = matrix.measurements.find((m) => m.id === matrix.next!.measurement);
    return el("p", { class: "nextline" }, el("strong", {}, "Next in the order of the trade: "), `${name?.name}, ${condition(matrix.next)} (${matrix.next.doubt ? "in doubt" : verdictMark[matrix.next.verdict]}). `, el("span", { class: "faint" }, name?.play ?? ""));
  }

  private part(matrix: Matrix, part: Part): HTMLElement {
    const name = (id: string): string => matrix.measurements.find((m) => m.id === id)?.name ?? id;
    return el("section", {}, el("h2", {}, SCOPES[part.scope]),
      el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": SCOPES[part.scope] },
        el("table", { class: "matrix" },
          el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "condition"), ...part.columns.map((c) => el("th", { scope: "col" }, `${name(c.measurement)}${c.channel === "both" ? "" : ", " + c.channel}`)))),
          el("tbody", {}, ...part.rows.map((row) => el("tr", {}, el("th", { scope: "row" }, part.scope === "gauges" ? row.direction : condition(row)), ...row.cells.map((cell) => el("td", {}, cell.measurement ? this.cell(row, cell) : el("span", { class: "faint" }, "no limit"))))))))); 
  }

  private cell(row: Row, cell: Cell): HTMLElement {
    const next = this.matrix?.next;
    const isNext = next && next.direction === row.direction && next.speed === row.speed && next.setting === row.setting && next.measurement === cell.measurement && next.channel === cell.channel;
    const digits = digitsFor(cell.uncertainty ?? null);
    const what = cell.value === undefined ? cell.why ? `could not run: ${cell.why}` : "" : `${cell.name}${cell.frequencyHz ? " at " + hertz(cell.frequencyHz) : ""}: ${figure(cell.value, digits, cell.limit)} ${plusMinus(cell.uncertainty ?? null, digits)}${unitOf(cell)}, limit ${cell.limit?.replaceAll("-", "−")}`.replaceAll(" ± ", "\u00a0±\u00a0");
    const button = el("button", { type: "button", class: "cell", "data-verdict": cell.doubt ? "doubt" : cell.verdict, "data-measurement": cell.measurement ?? "", "data-next": isNext ? "yes" : "", "data-asks": asks(row, cell) },
      el("b", {}, `${isNext ? "▶ " : ""}${cell.doubt ? "! in doubt, was " : ""}${verdictMark[cell.verdict]}`), el("span", {}, cell.margin == null ? "" : `margin ${signed(cell.margin, digitsFor(cell.uncertainty ?? null))}${unitOf(cell)}`),
      el("small", {}, what), cell.doubt ? el("small", {}, cell.doubt) : null, el("small", { class: "faint" }, cell.mark ?? ""));
    button.addEventListener("click", () => this.begin({ ...row, ...cell }));
    return button;
  }

  private move(rows: number, columns: number): void {
    const cells = [...this.root.querySelectorAll<HTMLElement>(".cell")], at = document.activeElement as HTMLElement | null;
    if (!at || !cells.includes(at)) {
      (this.root.querySelector<HTMLElement>(".cell[data-next=yes]") ?? cells[0])?.focus();
      return;
    }
    const row = at.closest("tr")!, lines = [...this.root.querySelectorAll("tbody tr")];
    const column = [...row.children].indexOf(at.closest("td")!) + columns, line = lines[lines.indexOf(row) + rows] ?? row;
    line.children[Math.max(1, Math.min(column, line.children.length - 1))]?.querySelector<HTMLElement>(".cell")?.focus();
  }

  // From the cell that has the focus; from none of them, the deck as a whole.
  private why(): void {
    if (!choice.job) return;
    const at = document.activeElement as HTMLElement | null, asked = new URLSearchParams(at?.classList.contains("cell") ? at.dataset["asks"] ?? "" : "").toString();
    this.frame.go(`/book/ails/${choice.job}${asked ? `?${asked}` : ""}`);
  }

  private begin(cell: (Row & Cell) | undefined): void {
    if (!cell?.measurement) return;
    save({ direction: cell.direction, speed: cell.speed, ...(cell.setting ? { setting: cell.setting } : {}) });
    this.frame.go(placeOf(cell.measurement));
  }
}

// A plus sign says something only where the limit has two signs: no tension is negative.
const figure = (value: number, digits: number, limit = ""): string => (value >= 0 && !/[±−-]/.test(limit) ? value.toFixed(digits) : signed(value, digits));

const unitOf = (cell: Cell): string => (!cell.unit || cell.unit === "1" || cell.unit === "1/min" ? "" : `\u00a0${cell.unit}`);

const condition = (of: { direction: string; speed: number; setting: string | null }): string => `${of.direction}, ${of.speed}\u00a0cm/s${of.setting ? `, ${of.setting}` : ""}`;

const asks = (row: Row, cell: Cell): string => new URLSearchParams({ measurement: cell.measurement ?? "", channel: cell.channel, direction: row.direction, speed: String(row.speed), ...(row.setting ? { setting: row.setting } : {}) }).toString();
