/** A sound file dropped anywhere: sent to the bench, measured as any file, with progress; what came of it stands in a panel. */

import type { Reading } from "./link";
import type { Frame } from "./screen";
import { choice } from "./state";
import { digitsFor, el, hertz, say, signed, verdictMark } from "./dom";

interface Line { progress?: number; problem?: string; readings?: Reading[]; notes?: { severity: string; text: string }[]; seconds?: number }

export class Drop {
  private readonly panel = el("dialog", { class: "panel", "aria-label": "Measured file" });

  constructor(private readonly frame: Frame, private readonly measurement: () => string) {
    document.body.append(this.panel);
    document.addEventListener("dragover", (event) => event.preventDefault());
    document.addEventListener("drop", (event) => {
      event.preventDefault();
      const file = event.dataTransfer?.files[0];
      if (file) void this.measure(file);
    });
  }

  async measure(file: File): Promise<void> {
    const bar = el("progress", { max: "1", value: "0", "aria-label": "Measured so far" }), text = el("p", {}, "Taking the file in …"), close = el("button", { type: "button", class: "key" }, el("kbd", {}, "Esc"), " close");
    close.addEventListener("click", () => this.panel.close());
    this.panel.replaceChildren(el("h2", {}, `${file.name}, measured as ${this.measurement()}`), bar, text, close);
    this.panel.showModal();
    const query = new URLSearchParams({ name: file.name, direction: choice.direction, speed: String(choice.speed), ...(choice.job ? { job: choice.job } : {}), ...(choice.tape ? { tape: choice.tape } : {}) });
    try {
      const answer = await fetch(`/api/measure/${this.measurement()}?${query}`, { method: "POST", body: file });
      for await (const line of lines(answer)) {
        if (line.progress !== undefined) {
          bar.value = line.progress;
          say(text, `Measuring, ${(100 * line.progress).toFixed(0)} %`);
        } else this.result(line, bar, text, close);
      }
    } catch {
      say(text, "The bench did not answer. Is the program still running?");
    }
  }

  private result(line: Line, bar: HTMLElement, text: HTMLElement, close: HTMLElement): void {
    bar.remove();
    if (line.problem) {
      say(text, line.problem);
      this.frame.tell(line.problem);
      return;
    }
    say(text, `${line.seconds?.toFixed(1)} s of sound.`);
    close.before(el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Readings" }, readingsTable(line.readings ?? [])), el("ul", {}, ...(line.notes ?? []).map((n) => el("li", {}, n.text))));
  }
}

export function readingsTable(readings: Reading[]): HTMLElement {
  return el("table", {}, el("thead", {}, el("tr", {}, ...["quantity", "channel", "tone", "value", "limit", "verdict"].map((t) => el("th", { scope: "col" }, t)))),
    el("tbody", {}, ...readings.map((r) => el("tr", {}, el("th", { scope: "row" }, r.quantity), el("td", {}, r.channel), el("td", {}, r.frequencyHz ? hertz(r.frequencyHz) : ""),
      el("td", { class: "number", "data-quantity": r.quantity, "data-value": String(r.value) }, `${signed(r.value, digitsFor(r.uncertainty, 4))} ${r.uncertainty === null ? "" : "± " + r.uncertainty.toFixed(digitsFor(r.uncertainty, 4))} ${r.unit}`), el("td", {}, r.limit ?? ""), el("td", { "data-verdict": r.verdict ?? "" }, r.verdict ? verdictMark[r.verdict]! : "")))));
}

async function* lines(answer: Response): AsyncGenerator<Line> {
  const reader = answer.body!.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { done, value } = await reader.read();
    rest += value ?? "";
    const whole = rest.split("\n");
    rest = done ? "" : whole.pop()!;
    for (const line of whole) if (line.trim()) yield JSON.parse(line) as Line;
    if (done) return;
  }
}
