/** One head turned until every comb agrees at zero. */

import type { Picture, Reading, Turning } from "./link";
import type { Frame, KeyOffer, Screen } from "./screen";
import { Combs } from "./combs";
import { digitsFor, el, plusMinus, say, signed, verdictMark } from "./dom";
import { Knobs } from "./knobs";

export class AzimuthScreen implements Screen {
  readonly title = "Azimuth";
  readonly measurement = "azimuth";
  readonly root = el("div", { class: "adjust" });
  readonly keys: KeyOffer[];
  private readonly value = el("output", { class: "value", "data-test": "skew" }, "–");
  private readonly side = el("p", { class: "under" });
  private readonly angle = el("p", { class: "angle" });
  private readonly cycle = el("p", { class: "faint" });
  private readonly next = el("p", { class: "next" });
  private readonly turn = el("input", { type: "text", id: "turn", autocomplete: "off", placeholder: "quarter turn cw" });
  private readonly canvas = el("canvas", { role: "img", "aria-label": "Each tone's possible delays, and where they agree" });
  private readonly combs = new Combs(this.canvas);
  private readonly knobs: Knobs;
  private perArcmin: number | null = null;
  private described = 0;

  constructor(private readonly frame: Frame) {
    this.knobs = new Knobs(frame, (name) => name.endsWith("azimuth"));
    const form = el("form", { class: "turn" }, el("label", { for: "turn" }, "I turned it "), this.turn, el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " take the value"));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      if (this.turn.value.trim()) frame.link.send({ do: "turned", text: this.turn.value.trim() });
      this.turn.value = "";
      this.turn.blur();
    });
    this.root.append(
      el("section", { class: "now", "aria-label": "Value now" }, el("h2", {}, "Delay between the channels"), this.value, this.side, this.angle, this.cycle),
      el("section", { class: "turning", tabindex: "0", "aria-label": "What to turn next" }, el("h2", {}, "Turn next"), this.next, form, this.knobs.root),
      el("section", { class: "picture", "aria-label": "Picture" }, this.canvas),
    );
    this.keys = [
      { key: "A", label: "start from here", press: () => frame.link.send({ do: "begin" }) },
      { key: "T", label: "say what I turned", press: () => this.turn.focus() },
      { key: "F", label: "forget earlier tones", press: () => { frame.link.send({ do: "forget" }); this.combs.forget(); } },
      ...this.knobs.keys,
    ];
  }

  show(picture: Picture): void {
    this.knobs.show(picture);
    this.showTurning(picture.turning);
    if (this.frame.hold) return;
    const reading = picture.readings?.find((r) => r.quantity === "time-skew");
    const angle = picture.readings?.find((r) => r.quantity === "azimuth-angle");
    this.showValue(picture, reading, angle);
    const limit = this.limitUs(picture, angle);
    this.combs.draw(picture, limit);
    const middle = angle?.min != null && angle.max != null ? (angle.max - angle.min) / 2 : angle?.max ?? null;
    this.frame.guide.tell(angle && middle ? Math.abs(angle.value) / middle : reading ? Math.abs(reading.value) / 5 : null);
  }

  private showValue(picture: Picture, reading: Reading | undefined, angle: Reading | undefined): void {
    if (!reading || !picture.skew) {
      say(this.value, "–");
      say(this.side, picture.source === "none" ? "No sound yet: press I to choose an input." : "No tone in both channels: play an azimuth tone.");
      say(this.angle, "");
      say(this.cycle, "");
      return;
    }
    say(this.value, `${signed(reading.value, Math.abs(reading.value) < 100 ? Math.min(2, digitsFor(reading.uncertainty, 2)) : 1)} µs`);
    say(this.side, `${Math.abs(reading.value) < (reading.uncertainty ?? 0) ? "together" : reading.value > 0 ? "right later" : "left later"}, ${plusMinus(reading.uncertainty, 2)} µs`);
    say(this.angle, angle ? `${signed(angle.value, 2)}′ ${plusMinus(angle.uncertainty, 2)}′, limit ${angle.limit ?? "none"}\n${verdictMark[angle.verdict ?? "not-measured"]}` : "Choose a deck (press 1) for angle and limit.");
    this.angle.dataset.verdict = angle?.verdict ?? "";
    say(this.cycle, { resolved: "The tones allow this cycle alone.", followed: "Cycle followed from the low tone.", nearest: "Cycle not certain: play a low tone too (1 kHz)." }[picture.skew.cycle]!
      + (picture.skew.reversed ? " One channel's polarity is reversed: check the wiring." : ""));
    this.root.dataset.value = String(reading.value);
    this.root.dataset.uncertainty = String(reading.uncertainty);
    this.root.dataset.tone = String(Math.max(...(picture.tones ?? []).filter((t) => t.age === 0).map((t) => t.nominal)));
    this.root.dataset.cycle = picture.skew.cycle;
    if (performance.now() - this.described > 2000) {
      this.described = performance.now();
      this.canvas.setAttribute("aria-label", `Combs of ${picture.tones?.filter((t) => t.age === 0).length ?? 0} tones; they agree at ${reading.value.toFixed(1)} microseconds`);
    }
  }

  private showTurning(turning: Turning | undefined): void {
    if (!turning) {
      say(this.next, "Press A to start from the value that stands. Then turn the screw a little, and say how far.");
      return;
    }
    if (turning.pending) {
      say(this.next, "Turned. Waiting for the value to settle …");
      return;
    }
    const turn = turning.turns[0];
    if (turning.outcome !== "Turn" || !turn) {
      say(this.next, sentence(turning.reason));
      return;
    }
    say(this.next, `${turn.how}${turning.probe ? ", to see what it does" : turning.expected === undefined ? "" : `: should come to ${signed(turning.expected, 1)}′`}`);
  }

  private limitUs(picture: Picture, angle: Reading | undefined): { min: number; max: number } | null {
    if (angle && picture.skew && Math.abs(angle.value) > 0.02) this.perArcmin = picture.skew.us / angle.value;
    if (!angle || this.perArcmin === null || angle.max == null) return null;
    const a = this.perArcmin * angle.max, b = this.perArcmin * (angle.min ?? -angle.max);
    return { min: Math.min(a, b), max: Math.max(a, b) };
  }
}

const sentence = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1) + ".";
