/** One head turned until every comb agrees: the playback head at zero, by a test tape; the record head, by one's own recording, where the playback head stands. */

import type { Picture, Reading } from "./link";
import type { Frame, KeyOffer, Screen } from "./screen";
import { recordNothing } from "./levelScreens";
import { Combs } from "./combs";
import { Advice, distance } from "./advice";
import { digitsFor, el, plusMinus, say, signed, verdictMark } from "./dom";
import { pictureSection, range } from "./adjustScreen";

export class AzimuthScreen implements Screen {
  readonly title: string;
  readonly measurement: string;
  readonly adjustment: string;
  readonly practiceTape: string;
  readonly signal?: string;
  readonly root = el("div", { class: "adjust" });
  readonly keys: KeyOffer[];
  private readonly value: HTMLElement;
  private readonly side = el("p", { class: "under" });
  private readonly angle = el("p", { class: "angle" });
  private readonly cycle = el("p", { class: "faint" });
  private readonly advice: Advice;
  private readonly section = pictureSection("Each tone's possible delays, and where they agree");
  private readonly combs = new Combs(this.section.canvas);
  private perArcmin: number | null = null;
  private described = 0;

  /** @param isRecord The record head's screw, by tones that are recorded and heard off tape meanwhile. */
  constructor(private readonly frame: Frame, private readonly isRecord = false) {
    [this.title, this.measurement, this.adjustment, this.practiceTape] = isRecord ? ["Record azimuth", "record", "record-azimuth", "record"] : ["Azimuth", "azimuth", "azimuth", "azimuth"];
    if (isRecord) this.signal = "response";
    this.value = el("output", { class: "value", "data-test": isRecord ? "record-skew" : "skew" }, "–");
    this.advice = new Advice(frame, (_, picture) => (isRecord ? recordMissing(picture) : nothing(picture)));
    this.root.append(el("section", { class: "now", "aria-label": "Value now" }, el("h2", {}, isRecord ? "Delay that the record head adds, µs" : "Delay between the channels, µs"), this.value, this.side, this.angle, this.cycle), this.advice.root, this.section.root);
    this.keys = [...this.advice.keys, { key: "F", label: "forget earlier tones", press: () => { frame.link.send({ do: "forget" }); this.combs.forget(); } },
      { key: "B", label: isRecord ? "playback head" : "record head", press: () => frame.go(isRecord ? "/azimuth" : "/record-azimuth") }];
  }

  show(picture: Picture): void {
    this.advice.show(picture);
    if (this.frame.hold) return;
    if (this.isRecord) {
      this.showRecord(picture, picture.readings?.find((r) => r.quantity === "record-time-skew"));
      return;
    }
    const reading = picture.readings?.find((r) => r.quantity === "time-skew");
    const angle = picture.readings?.find((r) => r.quantity === "azimuth-angle");
    this.showValue(picture, reading, angle);
    this.combs.draw(picture, this.limitUs(picture, angle));
    const far = distance(picture.desk?.lines ?? []) ?? (reading ? Math.abs(reading.value) / 5 : null);
    this.frame.guide.tell(far, reading ? `${Math.abs(reading.value).toFixed(0)} microseconds, ${reading.value > 0 ? "right" : "left"} later` : "");
  }

  private showRecord(picture: Picture, reading: Reading | undefined): void {
    const skew = picture.skew, playback = reading && skew ? skew.us - reading.value : null;
    // The zone stands where the playback head does: there the record head adds nothing.
    this.combs.draw(picture, playback === null || (reading?.min == null && reading?.max == null) ? null : { min: playback + (reading.min ?? -reading.max!), max: playback + (reading.max ?? -reading.min!) });
    this.frame.guide.tell(distance(picture.desk?.lines ?? []), reading ? `${Math.abs(reading.value).toFixed(0)} microseconds, ${reading.value > 0 ? "right" : "left"} later` : "");
    if (!reading || playback === null) {
      say(this.value, "–");
      say(this.side, picture.sending && picture.skew && picture.skew.cycle !== "nearest" ? "How the playback head stands is not known." : recordMissing(picture));
      say(this.angle, "");
      say(this.cycle, "");
      return;
    }
    say(this.value, signed(reading.value, Math.abs(reading.value) < 100 ? Math.min(2, digitsFor(reading.uncertainty, 2)) : 1));
    say(this.side, `${Math.abs(reading.value) < (reading.uncertainty ?? 0) ? "together" : reading.value > 0 ? "right later" : "left later"}, ${plusMinus(reading.uncertainty, 2)} µs`);
    say(this.angle, reading.min == null && reading.max == null ? "The deck's profile has no limit for it." : `${range(reading.min ?? null, reading.max ?? null, 1)} µs\n${verdictMark[reading.verdict ?? "not-measured"]}`);
    this.angle.dataset.verdict = reading.verdict ?? "";
    say(this.cycle, `The playback head's own ${signed(playback, 1)} µs is taken off.`);
    this.root.dataset.value = String(reading.value);
    this.root.dataset.uncertainty = String(reading.uncertainty);
    if (performance.now() - this.described > 2000) {
      this.described = performance.now();
      this.section.canvas.setAttribute("aria-label", `Combs of ${picture.tones?.filter((t) => t.age === 0).length ?? 0} tones of the deck's own recording; the record head adds ${reading.value.toFixed(1)} microseconds`);
    }
  }

  private showValue(picture: Picture, reading: Reading | undefined, angle: Reading | undefined): void {
    if (!reading || !picture.skew) {
      say(this.value, "–");
      say(this.side, picture.source === "none" ? "No sound yet: press I to choose an input." : "No tone in both channels: play an azimuth tone.");
      say(this.angle, "");
      say(this.cycle, "");
      return;
    }
    say(this.value, `${signed(reading.value, Math.abs(reading.value) < 100 ? Math.min(2, digitsFor(reading.uncertainty, 2)) : 1)}`);
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
      this.section.canvas.setAttribute("aria-label", `Combs of ${picture.tones?.filter((t) => t.age === 0).length ?? 0} tones; they agree at ${reading.value.toFixed(1)} microseconds`);
    }
  }

  private limitUs(picture: Picture, angle: Reading | undefined): { min: number; max: number } | null {
    if (angle && picture.skew && Math.abs(angle.value) > 0.02) this.perArcmin = picture.skew.us / angle.value;
    if (!angle || this.perArcmin === null || angle.max == null) return null;
    const a = this.perArcmin * angle.max, b = this.perArcmin * (angle.min ?? -angle.max);
    return { min: Math.min(a, b), max: Math.max(a, b) };
  }
}

function nothing(picture: Picture): string {
  if (!picture.skew) return "Play an azimuth tone; then turn the screw a little, and say how far.";
  return picture.readings?.some((r) => r.quantity === "azimuth-angle") ? "The deck's profile has no limit for the azimuth angle, so there is no target." : "There is no angle to aim for: choose a deck whose profile gives its tracks (press 1).";
}

function recordMissing(picture: Picture): string {
  if (picture.source === "none" || !picture.sending || !picture.skew) return recordNothing(picture, "four tones 20 dB under reference level");
  if (!picture.readings?.some((r) => r.quantity === "record-time-skew"))
    return picture.skew.cycle === "nearest" ? "The tones allow several delays: wait, or press F."
      : picture.source === "practice" ? "Set the playback head first: press B, then P. Then come back (B) and send (S)."
      : "Set the playback head first by a test tape whose leaflet is named (press B), and keep it (K).";
  return "The deck's profile has no limit for the time skew due to record, so there is no target.";
}
