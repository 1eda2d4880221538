/** Tape tension, read with a gauge and typed in: through the gauge's own curve, held against its limits, with where it has been at each turn of the spring. */

import type { Note, Picture, Reading } from "./link";
import type { Frame, KeyOffer, Screen } from "./screen";
import { choice, conditionText, save } from "./state";
import { digitsFor, el, plusMinus, say, verdictMark } from "./dom";
import { drawTrail } from "./levelScreens";
import { HangingTrail } from "./hangingTrail";
import { pictureSection, range } from "./adjustScreen";

interface Row { reel: string; fill: string; readings: string[] }
interface Answer { problem?: string; kept?: string | null; readings?: Reading[]; notes?: Note[] }

/** Where a gauge is put: the names of a sheet's two fields, and what each may be. */
type Places = [[string, string[]], [string, string[]]];

const REELS: Places = [["reel", ["supply", "take-up"]], ["fill", ["full", "half", "empty"]]];

const KINDS: Record<string, { title: string; property: string; unit: string; places?: Places; quantity?: string }> = {
  tension: { title: "Tension", property: "tension", unit: "gf", places: REELS },
  torque: { title: "Torque", property: "torque", unit: "g·cm", places: REELS },
  brakes: { title: "Brakes", property: "brakes", unit: "g·cm", places: [["reel", ["left", "right"]], ["turn", ["unwind", "wind"]]], quantity: "brake-torque" },
  "wind-time": { title: "Wind time", property: "windTime", unit: "s" },
  "pinch-force": { title: "Pinch force", property: "pinchForce", unit: "gf" },
};

export class TensionScreen implements Screen {
  readonly title: string;
  readonly measurement: string;
  readonly root = el("div", { class: "adjust typed" });
  readonly keys: KeyOffer[];
  private readonly value = el("output", { class: "value", "data-test": "typed" }, "–");
  private readonly under = el("p", { class: "target" });
  private readonly said = el("div", { class: "faint" });
  private readonly reel = el("select", { id: "reel" });
  private readonly fill = el("select", { id: "fill" });
  private readonly reading = el("input", { type: "text", id: "reading", autocomplete: "off" });
  private readonly tape = el("input", { type: "text", id: "blank", autocomplete: "off" });
  private readonly gauge = el("input", { type: "file", id: "gauge", accept: ".json,application/json" });
  private readonly gaugeNow = el("p", { class: "faint" });
  private readonly list = el("tbody");
  private readonly section = pictureSection("Where the tension has been");
  private readonly trail: HangingTrail;
  private readonly kind: (typeof KINDS)[string];
  private rows: Row[] = [];
  private shown: Reading | undefined;

  constructor(private readonly frame: Frame, id = "tension") {
    this.measurement = id;
    this.kind = KINDS[id]!;
    this.title = this.kind.title;
    this.trail = new HangingTrail(this.section.canvas, this.kind.unit, 0, "too little", "too much");
    this.reading.placeholder = id === "tension" ? "58 60 59" : id === "torque" ? "410 415" : id === "wind-time" ? "92" : "1150";
    const places = this.kind.places;
    if (places) [this.reel, this.fill].forEach((of, i) => of.replaceChildren(...places[i]![1].map((word) => el("option", { value: word }, i === 0 ? `${word} reel` : word))));
    const form = el("form", { class: "plain" },
      ...(places ? [el("p", {}, el("label", { for: "reel" }, "Reel "), this.reel, " ", el("label", { for: "fill" }, places[1][0] === "fill" ? "how full " : "turned the way the tape would "), this.fill)] : []),
      el("p", {}, el("label", { for: "reading" }, `Read, ${this.kind.unit} (three readings are better than one) `), this.reading, " ", el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " take it")),
      el("p", {}, el("label", { for: "blank" }, "Tape threaded "), this.tape),
      ...(id === "wind-time" ? [] : [el("p", {}, el("label", { for: "gauge" }, "The gauge's file (its curve by weights) "), this.gauge), this.gaugeNow]));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.take();
    });
    this.gauge.addEventListener("change", () => void (async () => {
      save({ gauge: (await this.gauge.files?.[0]?.text()) ?? "", gaugeName: this.gauge.files?.[0]?.name ?? "" });
      this.sayGauge();
    })());
    this.root.append(
      el("section", { class: "now", "aria-label": "Value now" }, el("h2", {}, `${this.kind.title}, ${this.kind.unit}`), this.value, this.under, this.said),
      el("section", { class: "turning", tabindex: "0", "aria-label": "What was read" }, form,
        el("table", {}, el("caption", {}, "Read so far"), el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "place"), el("th", { scope: "col" }, "read"))), this.list)),
      this.section.root);
    this.keys = [
      { key: "T", label: "type a reading", press: () => this.reading.focus() },
      ...(this.kind.places ? [
        { key: "E", label: "other reel", press: () => this.cycle(this.reel) },
        { key: "B", label: this.kind.places[1][1].join(", "), press: () => this.cycle(this.fill) },
      ] : []),
      { key: "A", label: "I adjusted it: read anew", press: () => void this.adjusted() },
      { key: "J", label: "keep as found", press: () => void this.keep("as-found") },
      { key: "K", label: "keep as left", press: () => void this.keep("as-left") },
      { key: "L", label: "keep first run", press: () => void this.keep("first-run") },
    ];
    this.sayGauge();
    say(this.under, `${conditionText(false)}. ${id === "wind-time" ? "Wind the reel from end to end by the stopwatch, press T, write the seconds." : "Put the gauge on, press T, write what it reads."}`);
  }

  show(picture: Picture): void {
    if (this.shown) drawTrail(this.trail, [{ control: "", channel: "both", moves: 0, pending: false, now: this.shown }]);
    else this.trail.draw([], null);
    this.frame.guide.tell(null, "");
    void picture;
  }

  private cycle(of: HTMLSelectElement): void {
    of.selectedIndex = (of.selectedIndex + 1) % of.options.length;
    this.frame.tell(`Now the ${this.reel.value} reel, ${this.fill.value}.`);
  }

  private sayGauge(): void { say(this.gaugeNow, choice.gaugeName ? `Through the curve of ${choice.gaugeName}.` : "None: readings are taken as they stand, and prove nothing. How to calibrate a gauge: docs/guide/gauges.md"); }

  private async take(): Promise<void> {
    // A comma within a number is the server's to refuse: 1,150 would be read a thousandth of what it may mean.
    const readings = this.reading.value.split(/[\s;]+|,\s+/).filter(Boolean).map((r) => `${r} ${this.kind.unit}`);
    this.reading.value = "";
    this.reading.blur();
    if (readings.length === 0) return;
    const row = { reel: this.reel.value, fill: this.fill.value, readings };
    const before = this.rows;
    // A place read again takes the place of what was read there.
    this.rows = [...before.filter((r) => this.kind.places && (r.reel !== row.reel || r.fill !== row.fill)), row];
    const answer = await this.ask(null);
    if (answer.problem) {
      this.rows = before;
      this.frame.tell(answer.problem);
      return;
    }
    this.result(answer, row);
  }

  private async adjusted(): Promise<void> {
    this.rows = [];
    this.list.replaceChildren();
    if (!choice.job) {
      this.frame.tell("Read it anew. What was turned is noted under a deck: choose one first (key 1).");
      return;
    }
    // Said once the book has it: whoever opens the matrix then sees the doubt.
    const answer = await this.post(`/api/jobs/${choice.job}/adjusted`, { what: "tension", direction: choice.direction, speed: choice.speed, setting: choice.setting });
    this.frame.tell(answer.problem ?? "Noted: what was measured before and hangs on the tension is in doubt now. Read it anew.");
  }

  private async keep(mark: string): Promise<void> {
    if (this.rows.length === 0) {
      this.frame.tell("Nothing was read yet: press T and write what the gauge reads.");
      return;
    }
    const answer = await this.ask(mark);
    this.frame.tell(answer.problem ?? answer.kept ?? "Not kept.");
  }

  private async ask(mark: string | null): Promise<Answer> {
    const rows = this.rows.map((r) => ({ ...(this.kind.places ? { [this.kind.places[0][0]]: r.reel, [this.kind.places[1][0]]: r.fill } : {}), ...(this.measurement === "brakes" ? {} : { direction: choice.direction }), readings: r.readings }));
    const sheet = { ...(this.tape.value.trim() ? { tape: this.tape.value.trim() } : {}), [this.kind.property]: rows };
    return this.post(`/api/sheet/${this.measurement}`, { sheet, job: choice.job, direction: choice.direction, speed: choice.speed, gauge: choice.gauge, mark });
  }

  private async post(address: string, body: Record<string, unknown>): Promise<Answer> {
    try {
      const answer = await fetch(address, { method: "POST", body: JSON.stringify(body) });
      return (await answer.json()) as Answer;
    } catch {
      return { problem: "The bench did not answer. Is the program still running?" };
    }
  }

  private result(answer: Answer, row: Row): void {
    const own = (answer.readings ?? []).filter((r) => r.unit === this.kind.unit);
    const wanted = this.kind.quantity ? this.kind.quantity : this.kind.places ? `${row.reel}-${this.measurement}` : this.measurement;
    const reading = own.filter((r) => r.quantity === wanted || r.quantity.startsWith(this.measurement)).at(-1) ?? own.at(-1);
    this.shown = reading;
    if (reading) {
      const digits = digitsFor(reading.uncertainty, 1);
      say(this.value, reading.value.toFixed(digits));
      Object.assign(this.value.dataset, { value: String(reading.value), uncertainty: String(reading.uncertainty) });
      this.under.dataset.verdict = reading.verdict ?? "";
      say(this.under, `${plusMinus(reading.uncertainty, digits)} ${reading.unit}${this.kind.places ? `, ${row.reel} reel, ${row.fill}` : ""}\n${reading.min == null && reading.max == null ? "no limit in the profile" : `${range(reading.min ?? null, reading.max ?? null, 0)} ${reading.unit}\n${verdictMark[reading.verdict ?? "not-measured"]}`}`);
    }
    this.said.replaceChildren(...(answer.notes ?? []).filter((n) => n.severity !== "hint").slice(0, 2).map((n) => el("p", {}, n.text)));
    this.list.replaceChildren(...this.rows.map((r) => el("tr", {}, el("th", { scope: "row" }, this.kind.places ? `${r.reel} reel, ${r.fill}` : this.kind.title), el("td", { class: "number" }, r.readings.join(", ")))));
    this.frame.tell(reading?.verdict === "not-met" ? "Outside its limits: adjust, press A, and read it anew." : "Taken. Next place: E for the other reel, B for how full.");
  }
}
