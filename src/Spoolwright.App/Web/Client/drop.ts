/** A sound file dropped anywhere, or opened by a key: asked what it is, sent to the bench, measured as any file, with progress; what came of it stands in the panel. */

import type { Note, Reading } from "./link";
import type { Frame } from "./screen";
import { OF_SOUND } from "./keepPlan";
import { readingsTable } from "./readingsPanel";
import { choice, conditionText } from "./state";
import { el, say } from "./dom";

interface Line { progress?: number; problem?: string; readings?: Reading[]; notes?: Note[]; seconds?: number; kept?: string | null }

export class Drop {
  private readonly panel = el("dialog", { class: "panel", "aria-label": "Measured file" });
  private readonly opener = el("input", { type: "file", accept: "audio/*,.wav,.flac,.aif,.aiff", hidden: "", "aria-label": "Sound file" });

  constructor(private readonly frame: Frame, private readonly measurement: () => string) {
    document.body.append(this.panel, this.opener);
    this.opener.addEventListener("change", () => {
      const file = this.opener.files?.[0];
      this.opener.value = "";
      if (file) this.ask(file);
    });
    document.addEventListener("dragover", (event) => event.preventDefault());
    document.addEventListener("drop", (event) => {
      event.preventDefault();
      const file = event.dataTransfer?.files[0];
      if (file) this.ask(file);
    });
  }

  /** Lets the person choose a file. */
  open(): void { this.opener.click(); }

  private ask(file: File): void {
    const as = el("select", { id: "drop-as" }, ...OF_SOUND.map(([id, name]) => el("option", { value: id }, name)));
    as.value = this.measurement();
    const into = el("select", { id: "drop-into" }, el("option", { value: "" }, "no: only look at it"), el("option", { value: "as-found" }, "as found"), el("option", { value: "first-run" }, "first run"), el("option", { value: "as-left" }, "as left"));
    into.disabled = !choice.job;
    const form = el("form", {}, el("h2", {}, file.name),
      el("p", {}, el("label", { for: "drop-as" }, "Measured as "), as),
      el("p", {}, el("label", { for: "drop-into" }, choice.job ? `Into the book, under ${conditionText(true)} ` : "Into the book: choose a deck first (1) "), into),
      el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " measure it"));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.measure(file, as.value, into.value);
    });
    this.panel.replaceChildren(form);
    this.panel.showModal();
    as.focus();
  }

  private async measure(file: File, as: string, into: string): Promise<void> {
    const bar = el("progress", { max: "1", value: "0", "aria-label": "Measured so far" }), text = el("p", {}, "Taking the file in …"), close = el("button", { type: "button", class: "key" }, el("kbd", {}, "Esc"), " close");
    close.addEventListener("click", () => this.panel.close());
    this.panel.replaceChildren(el("h2", {}, `${file.name}, measured as ${as}`), bar, text, close);
    const query = new URLSearchParams({ name: file.name, direction: choice.direction, speed: String(choice.speed), ...(choice.setting ? { setting: choice.setting } : {}), ...(choice.job ? { job: choice.job } : {}), ...(choice.tape ? { tape: choice.tape } : {}), ...(into ? { keep: into } : {}) });
    try {
      const answer = await fetch(`/api/measure/${as}?${query}`, { method: "POST", body: file });
      for await (const line of lines(answer)) {
        if (line.progress !== undefined) {
          bar.value = line.progress;
          say(text, `Measuring, ${(100 * line.progress).toFixed(0)} %`);
        } else this.result(line, bar, text, close);
      }
    } catch {
      say(text, "The bench did not answer. Is the program still running?");
    }
    close.focus();
  }

  private result(line: Line, bar: HTMLElement, text: HTMLElement, close: HTMLElement): void {
    bar.remove();
    if (line.problem) {
      say(text, line.problem);
      this.frame.tell(line.problem);
      return;
    }
    say(text, `${line.seconds?.toFixed(1)} s of sound. ${line.kept ?? ""}`);
    close.before(el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Readings" }, readingsTable(line.readings ?? [])), el("ul", {}, ...(line.notes ?? []).map((n) => el("li", {}, n.text))));
  }
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
