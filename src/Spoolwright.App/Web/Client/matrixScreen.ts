/** What has and has not been proven of a deck: every condition against every measurement, with the margin to the limit. */

import type { Frame, KeyOffer, Screen } from "./screen";
import { choice, save } from "./state";
import { digitsFor, el, hertz, plusMinus, signed, verdictMark } from "./dom";

interface Cell { measurement: string; channel: string; verdict: string; why: string | null; mark: string | null; quantity?: string; value?: number; unit?: string; limit?: string; uncertainty?: number | null; frequencyHz?: number | null; margin?: number | null }
interface Row { direction: "forward" | "reverse"; speed: number; cells: Cell[] }
interface Matrix { profile: string; serial: string; what: string; measurements: { id: string; name: string; play: string }[]; rows: Row[]; next?: Row & Cell; problem?: string }

const SCREENS: Record<string, string> = { speed: "/speed", azimuth: "/azimuth", playback: "/level" };

export class MatrixScreen implements Screen {
  readonly title = "Matrix";
  readonly measurement = null;
  readonly root = el("div", { class: "page" });
  readonly keys: KeyOffer[];
  private matrix: Matrix | null = null;

  constructor(private readonly frame: Frame) {
    this.keys = [
      { key: "N", label: "begin what comes next", press: () => this.begin(this.matrix?.next) },
      { key: "R", label: "record", press: () => { if (choice.job) window.open(`/record/${choice.job}`, "_blank", "noopener"); } },
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
    save({ deck: `${matrix.profile}, ${matrix.serial}`, speeds: [...new Set(matrix.rows.map((r) => r.speed))], directions: [...new Set(matrix.rows.map((r) => r.direction))] });
    this.root.replaceChildren(el("h1", {}, `${matrix.profile}, ${matrix.serial}`), this.next(matrix), this.table(matrix));
  }

  private next(matrix: Matrix): HTMLElement {
    if (!matrix.next) return el("p", { class: "nextline" }, "Every cell is met.");
    const name = matrix.measurements.find((m) => m.id === matrix.next!.measurement);
    return el("p", { class: "nextline" }, el("strong", {}, "Next in the order of the trade: "), `${name?.name}, ${matrix.next.direction}, ${matrix.next.speed} cm/s (${verdictMark[matrix.next.verdict]}). `, el("span", { class: "faint" }, name?.play ?? ""));
  }

  private table(matrix: Matrix): HTMLElement {
    const heads = matrix.rows[0]?.cells ?? [];
    const scroll = el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Matrix of conditions" },
      el("table", { class: "matrix" },
        el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "condition"), ...heads.map((c) => el("th", { scope: "col" }, `${matrix.measurements.find((m) => m.id === c.measurement)?.name ?? c.measurement}${c.channel === "both" ? "" : ", " + c.channel}`)))),
        el("tbody", {}, ...matrix.rows.map((row) => el("tr", {}, el("th", { scope: "row" }, `${row.direction}, ${row.speed} cm/s`), ...row.cells.map((cell) => el("td", {}, this.cell(row, cell))))))));
    return scroll;
  }

  private cell(row: Row, cell: Cell): HTMLElement {
    const isNext = this.matrix?.next && this.matrix.next.direction === row.direction && this.matrix.next.speed === row.speed && this.matrix.next.measurement === cell.measurement && this.matrix.next.channel === cell.channel;
    const what = cell.value === undefined ? cell.why ?? "" : `${cell.quantity}${cell.frequencyHz ? " at " + hertz(cell.frequencyHz) : ""}: ${signed(cell.value, digitsFor(cell.uncertainty ?? null))} ${plusMinus(cell.uncertainty ?? null, digitsFor(cell.uncertainty ?? null))} ${cell.unit}, limit ${cell.limit}`;
    const button = el("button", { type: "button", class: "cell", "data-verdict": cell.verdict },
      el("b", {}, (isNext ? "▶ " : "") + verdictMark[cell.verdict]), el("span", {}, cell.margin == null ? "" : `margin ${signed(cell.margin, Math.abs(cell.margin) < 0.1 ? 3 : 2)} ${cell.unit}`), el("small", {}, what), el("small", { class: "faint" }, cell.mark ?? ""));
    button.addEventListener("click", () => this.begin({ ...row, ...cell }));
    return button;
  }

  private begin(cell: (Row & Cell) | undefined): void {
    if (!cell) return;
    save({ direction: cell.direction, speed: cell.speed });
    this.frame.go(SCREENS[cell.measurement] ?? `/file/${cell.measurement}`);
  }
}
