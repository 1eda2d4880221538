/** What the screens of one adjustment have in common: the value now, where it must go, where it has been, and what to turn next. */

import type { DeskLine, Picture } from "./link";
import type { Frame, KeyOffer, Screen } from "./screen";
import { Advice, distance, sideMark, spoken } from "./advice";
import { digitsFor, el, plusMinus, say, signed, verdictMark } from "./dom";

/** What an adjustment's screen draws. */
export interface Drawing {
  readonly root: HTMLElement;
  draw(picture: Picture, lines: DeskLine[]): void;
  forget?(): void;
}

export interface AdjustSpec {
  title: string;
  measurement: string;
  adjustment: string;
  practiceTape: string;
  signal?: string;
  /** Heading over the values. */
  heading(picture: Picture, lines: DeskLine[]): string;
  channels: string[];
  unit: string;
  digits: number;
  /** What to say where nothing stands. */
  nothing(picture: Picture): string;
  /** What to say of a control for which nothing stands. */
  noAdvice(line: DeskLine, picture: Picture): string;
  /** What to do where the value is not known well enough to tell; empty: as the adviser says. */
  unproven?(line: DeskLine): string;
  /** One line under the values. */
  under?(picture: Picture, lines: DeskLine[]): string;
  drawing(): Drawing;
  keys?(frame: Frame): KeyOffer[];
}

export class AdjustScreen implements Screen {
  readonly title: string;
  readonly measurement: string;
  readonly adjustment: string;
  readonly practiceTape: string;
  readonly signal?: string;
  readonly root = el("div", { class: "adjust" });
  readonly keys: KeyOffer[];
  private readonly heading = el("h2", {}, "");
  private readonly under = el("p", { class: "under" });
  private readonly boxes = new Map<string, { value: HTMLElement; target: HTMLElement }>();
  private readonly advice: Advice;
  private readonly drawing: Drawing;

  constructor(private readonly frame: Frame, private readonly spec: AdjustSpec) {
    ({ title: this.title, measurement: this.measurement, adjustment: this.adjustment, practiceTape: this.practiceTape, signal: this.signal } = spec);
    this.advice = new Advice(frame, spec.noAdvice, spec.unproven);
    this.drawing = spec.drawing();
    const pair = el("div", { class: spec.channels.length > 1 ? "pair" : "single" });
    for (const channel of spec.channels) {
      const value = el("output", { class: "value", "data-test": `${spec.adjustment}-${channel}` }, "–"), target = el("p", { class: "target" });
      this.boxes.set(channel, { value, target });
      pair.append(el("div", { class: channel }, channel === "both" ? null : el("h3", {}, sideMark(channel)), value, target));
    }
    this.root.append(el("section", { class: "now", "aria-label": "Value now" }, this.heading, pair, this.under), this.advice.root, this.drawing.root);
    this.keys = [...this.advice.keys, { key: "F", label: "forget earlier tones", press: () => { frame.link.send({ do: "forget" }); this.drawing.forget?.(); } }, ...(spec.keys?.(frame) ?? [])];
  }

  show(picture: Picture): void {
    this.advice.show(picture);
    if (this.frame.hold) return;
    const lines = picture.desk?.lines ?? [];
    say(this.heading, this.spec.heading(picture, lines));
    say(this.under, lines.some((l) => l.now) ? this.spec.under?.(picture, lines) ?? "" : this.spec.nothing(picture));
    for (const [channel, { value, target }] of this.boxes) {
      const now = lines.find((l) => l.channel === channel)?.now;
      // The large figure has room for three digits; where that cuts one off, the whole stands beneath it: −11.48 is not met by −11.50 to −12.50.
      const digits = now ? digitsFor(now.uncertainty, this.spec.digits) : 0, cut = now && Math.abs(now.value) >= 9.995 && digits > 1;
      say(value, now ? signed(now.value, cut ? 1 : digits) : "–");
      if (now) Object.assign(value.dataset, { value: String(now.value), uncertainty: String(now.uncertainty) });
      target.dataset.verdict = now?.verdict ?? "";
      say(target, !now ? "" : `${cut ? `${signed(now.value, digits)} ` : ""}${plusMinus(now.uncertainty, this.spec.digits)} ${this.spec.unit}\n${now.min == null && now.max == null ? "no target" : `${range(now.min ?? null, now.max ?? null, this.spec.digits)} ${this.spec.unit}\n${verdictMark[now.verdict ?? "not-measured"]}`}`);
      target.title = now?.source ?? "";
    }
    this.root.dataset.tone = String(lines.find((l) => l.now)?.now?.frequencyHz ?? "");
    this.drawing.draw(picture, lines);
    this.frame.guide.tell(distance(lines), spoken(lines, Math.min(1, this.spec.digits)));
  }
}

export const range = (min: number | null, max: number | null, digits: number): string =>
  min === null ? `at most ${signed(max!, digits)}` : max === null ? `at least ${signed(min, digits)}` : `${signed(min, digits)} to ${signed(max, digits)}`;

/** A section with one canvas in it. */
export function pictureSection(label: string): { root: HTMLElement; canvas: HTMLCanvasElement } {
  const canvas = el("canvas", { role: "img", "aria-label": label });
  return { root: el("section", { class: "picture", "aria-label": "Picture" }, canvas), canvas };
}
