/**
 * What to turn next and how far, for each control of the screen's adjustment: by the turns seen so far. On a real deck the person says what was turned; the practice
 * deck's controls are knobs: chosen with up and down, turned with left and right, finer with Shift.
 */

import type { DeskLine, Picture } from "./link";
import type { Frame, KeyOffer } from "./screen";
import { el, say, signed } from "./dom";

export const sideMark = (channel: string): string => (channel === "left" ? "◀ left" : channel === "right" ? "right ▶" : "");

export class Advice {
  readonly root = el("section", { class: "turning", tabindex: "0", "aria-label": "What to turn next" });
  readonly keys: KeyOffer[];
  private readonly rows = el("div", { class: "rows" });
  private readonly turn = el("input", { type: "text", id: "turn", autocomplete: "off", placeholder: "quarter turn cw" });
  private readonly which = el("label", { for: "turn" }, "I turned it ");
  private readonly form = el("form", { class: "turn" }, this.which, this.turn, el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " take the value"));
  private readonly keysLine = el("p", { class: "faint knobkeys" }, "Practice deck: ", el("kbd", {}, "←"), el("kbd", {}, "→"), " turn, with ", el("kbd", {}, "Shift"), " finer, ", el("kbd", {}, "↑"), el("kbd", {}, "↓"), " choose");
  private lines: DeskLine[] = [];
  private names = "";
  private chosen = 0;

  /**
   * @param nothing What to say while nothing stands for a control.
   * @param unproven What to do where the value is not known well enough; empty: as the adviser says.
   */
  constructor(private readonly frame: Frame, private readonly nothing: (line: DeskLine, picture: Picture) => string, private readonly unproven?: (line: DeskLine) => string) {
    this.form.addEventListener("submit", (event) => {
      event.preventDefault();
      const text = this.turn.value.trim();
      if (text) frame.link.send({ do: "turned", control: this.lines[this.chosen]?.control ?? "", text });
      this.turn.value = "";
      this.turn.blur();
    });
    this.root.append(el("h2", {}, "Turn next"), this.rows, this.form, this.keysLine);
    this.keys = [
      { key: "T", label: "say what I turned", press: () => this.turn.focus() },
      { key: "A", label: "start from here", press: () => frame.link.send({ do: "begin" }) },
      { key: "ArrowLeft", label: "", press: () => this.turnBy(-0.05) },
      { key: "ArrowRight", label: "", press: () => this.turnBy(0.05) },
      { key: "Shift+ArrowLeft", label: "", press: () => this.turnBy(-0.01) },
      { key: "Shift+ArrowRight", label: "", press: () => this.turnBy(0.01) },
      { key: "ArrowUp", label: "", press: () => this.choose(-1) },
      { key: "ArrowDown", label: "", press: () => this.choose(1) },
    ];
  }

  show(picture: Picture): void {
    this.lines = picture.desk?.lines ?? [];
    const names = this.lines.map((l) => `${l.control}${l.knob ? "" : " real"}`).join();
    if (names !== this.names) {
      this.names = names;
      this.chosen = Math.min(this.chosen, Math.max(0, this.lines.length - 1));
      this.rows.replaceChildren(...this.lines.map((line, i) => this.row(line, i)));
    }
    const practises = this.lines.some((l) => l.knob);
    this.form.hidden = practises;
    this.keysLine.hidden = !practises;
    say(this.which, this.lines.length > 1 ? `I turned ${this.lines[this.chosen]?.control} (↑ ↓ choose) ` : "I turned it ");
    this.lines.forEach((line, i) => this.update(line, this.rows.children[i] as HTMLElement, i, picture));
  }

  private row(line: DeskLine, i: number): HTMLElement {
    const row = el("div", { class: "row", "data-channel": line.channel }, el("p", { class: "next" }, ""));
    if (line.channel !== "both") row.prepend(el("h3", { class: line.channel }, sideMark(line.channel)));
    if (line.knob) {
      const box = el("div", { class: "knob", role: "slider", tabindex: "0", "aria-label": `${line.control}: ${line.knob.meaning}`, "aria-valuemin": String(line.knob.least), "aria-valuemax": String(line.knob.most), "aria-valuenow": String(line.knob.at) },
        el("i", { "aria-hidden": "true" }), el("output", {}));
      box.addEventListener("focus", () => { this.chosen = i; });
      box.addEventListener("wheel", (event) => {
        event.preventDefault();
        this.chosen = i;
        this.turnBy(event.deltaY < 0 ? 0.02 : -0.02);
      }, { passive: false });
      row.append(box);
    }
    return row;
  }

  private update(line: DeskLine, row: HTMLElement, i: number, picture: Picture): void {
    row.toggleAttribute("data-chosen", i === this.chosen && this.lines.length > 1);
    say(row.querySelector(".next")!, this.text(line, picture));
    const box = row.querySelector<HTMLElement>(".knob");
    if (!box || !line.knob) return;
    box.setAttribute("aria-valuenow", line.knob.at.toFixed(3));
    box.setAttribute("aria-valuetext", `${signed(line.knob.at, 2)} turns`);
    say(box.querySelector("output")!, signed(line.knob.at, 2));
    box.querySelector<HTMLElement>("i")!.style.transform = `rotate(${(line.knob.at * 360).toFixed(0)}deg)`;
  }

  private text(line: DeskLine, picture: Picture): string {
    if (line.pending) return "Turned. Waiting for the value to settle …";
    if (line.now && !line.outcome && (line.now.min != null || line.now.max != null)) return "Wait a moment: the value settles.";
    // Between two tones of a tape what was advised still holds: it must not flicker.
    if (!line.outcome) return this.nothing(line, picture);
    if (line.outcome === "Met") return "✓ Leave it: within the limits.";
    if (line.outcome === "EndStop") return "Its range ends here, and the value is outside still: the fault lies elsewhere. A dirty or worn head? The right tape?";
    if (line.outcome === "NoiseTooLarge" || line.outcome === "MeasureAgain") return this.unproven?.(line) || sentence(line.reason ?? "");
    if (line.outcome !== "Turn" || !line.how) return sentence(line.reason ?? "");
    return `${line.how}${line.probe ? ", to see what it does" : line.expected === undefined ? "" : `: should come to ${signed(line.expected, 1)} ${line.now?.unit === "arcmin" ? "′" : line.now?.unit ?? ""}`}`;
  }

  private turnBy(turns: number): void {
    const line = this.lines[this.chosen];
    if (line?.knob) this.frame.link.send({ do: "knob", name: line.control, turns });
    else this.frame.tell("Turn the deck's own control, then press T and say how far. P practises on a deck whose controls are here.");
  }

  private choose(by: number): void {
    if (this.lines.length > 0) this.chosen = (this.chosen + by + this.lines.length) % this.lines.length;
  }
}

export const sentence = (text: string): string => (text ? text.charAt(0).toUpperCase() + text.slice(1) + "." : "");

/** How far the worst of the lines is off the middle of its limits, in half widths; null: none has limits. */
export function distance(lines: DeskLine[]): number | null {
  const each = lines.map((l) => l.now).filter((n) => n && (n.min != null || n.max != null)).map((n) => {
    const max = n!.max ?? n!.min!, min = n!.min ?? -max, half = Math.abs(max - min) / 2 || 1;
    return Math.abs(n!.value - (max + min) / 2) / half;
  });
  return each.length > 0 ? Math.max(...each) : null;
}

/** What a voice says of the lines. */
export function spoken(lines: DeskLine[], digits: number): string {
  return lines.map((l) => {
    if (!l.now) return "";
    const side = l.channel === "both" ? "" : `${l.channel}: `;
    return l.now.verdict === "met" ? `${side}good.` : `${side}${l.now.value < 0 ? "minus" : "plus"} ${Math.abs(l.now.value).toFixed(digits)}.${l.how && !l.pending ? ` ${l.how}.` : ""}`;
  }).join(" ");
}
