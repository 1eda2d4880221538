/** Speed and flutter: one turn of each part as a ring, the speed now, what to turn, and every detector in one table. */

import type { Picture, Reading } from "./link";
import type { Frame, KeyOffer, Screen } from "./screen";
import { Advice, distance, spoken } from "./advice";
import { pictureSection } from "./adjustScreen";
import { digitsFor, el, plusMinus, say, signed, verdictMark } from "./dom";
import { drawTrail } from "./levelScreens";
import { HangingTrail } from "./hangingTrail";
import { Rings } from "./rings";

const ROWS: [string, string][] = [
  ["speed-error", "speed, mean"],
  ["wow-flutter-quasi-peak", "weighted, quasi-peak"],
  ["wow-flutter-two-sigma", "weighted, two sigma"],
  ["wow-flutter-rms", "weighted, rms"],
  ["wow-flutter-unweighted-rms", "unweighted, rms"],
  ["wow-rms", "wow, to 10 Hz, rms"],
  ["flutter-rms", "flutter, from 10 Hz, rms"],
];

export class SpeedScreen implements Screen {
  readonly title = "Speed";
  readonly measurement = "speed";
  readonly adjustment = "speed";
  readonly practiceTape = "speed";
  readonly root = el("div", { class: "adjust speed" });
  readonly keys: KeyOffer[];
  private readonly value = el("output", { class: "value", "data-test": "speed" }, "–");
  private readonly under = el("p", { class: "under" });
  private readonly body = el("tbody");
  private readonly cells = new Map<string, HTMLElement[]>();
  private readonly section = pictureSection("One turn of each rotating part");
  private readonly rings = new Rings(this.section.canvas);
  private readonly past = el("canvas", { role: "img", "aria-label": "Where the speed has been" });
  private readonly trail = new HangingTrail(this.past, "%", 2, "slow", "fast");
  private readonly missing = el("p", { class: "over" });
  private readonly advice: Advice;

  constructor(private readonly frame: Frame) {
    this.advice = new Advice(frame, () => "Play the steady tone of a test tape.");
    for (const [id, name] of ROWS) {
      const cells = [el("td", { class: "number", "data-test": id }, "–"), el("td", {}, ""), el("td", {}, "")];
      this.cells.set(id, cells);
      this.body.append(el("tr", {}, el("th", { scope: "row" }, name), ...cells));
    }
    this.section.root.append(this.missing);
    this.root.append(
      this.section.root,
      el("section", { class: "now", "aria-label": "Value now" }, el("h2", {}, "Speed over the last second"), this.value, this.under),
      this.advice.root,
      el("section", { class: "hanging", "aria-label": "Where it has been" }, this.past),
      el("section", { class: "table", tabindex: "0", "aria-label": "Every detector" },
        el("table", {}, el("caption", {}, "The last 20 seconds, %"), el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "detector"), el("th", { scope: "col" }, "value"), el("th", { scope: "col" }, "limit"), el("th", { scope: "col" }, "verdict"))), this.body)),
    );
    this.keys = [...this.advice.keys, { key: "Y", label: "reel radii", press: () => void this.radii() }];
  }

  show(picture: Picture): void {
    this.advice.show(picture);
    if (this.frame.hold) return;
    const speed = picture.speed, lines = picture.desk?.lines ?? [];
    if (!speed) {
      say(this.value, "–");
      say(this.under, picture.source === "none" ? "No sound yet: press I to choose an input." : "No speed tone: play the steady tone of a test tape (3150 or 3000 Hz).");
    } else {
      say(this.value, `${signed(speed.now, 2)} %`);
      say(this.under, `${speed.now > 0 ? "fast" : "slow"}, against ${speed.nominalHz} Hz${speed.seconds < 5 ? "; flutter settles …" : `; flutter of ${speed.seconds.toFixed(0)} s`}`);
    }
    for (const [id, cells] of this.cells) this.row(id, cells, picture.readings?.find((r) => r.quantity === id));
    this.frame.guide.tell(distance(lines), spoken(lines, 2));
    this.rings.draw(picture.rings ?? []);
    drawTrail(this.trail, speed ? lines : []);
    say(this.missing, (picture.rings?.length ?? 0) > 0 ? "" : speed ? "Rings need a deck whose profile lists its rotating parts: press 1 and choose one." : "Here every rotating part will draw its ring: round and centred when it runs true.");
  }

  private async radii(): Promise<void> {
    const text = await this.frame.ask("Reels", "Radius of the tape on the supply reel, and on the take-up reel, mm (such as 62 81); empty: not known");
    if (text === null) return;
    const typed = text.split(/[\s;]+|,\s+/).filter(Boolean), comma = typed.find((r) => r.includes(","));
    if (comma !== undefined) {
      this.frame.tell(`✗ ${comma} may be one radius or two: write ${comma.replace(",", ".")}, or ${comma.replace(",", " ")}.`);
      return;
    }
    const [supply, takeUp] = typed.map(Number);
    const wrong = [supply, takeUp].find((r) => r !== undefined && !(r >= 5 && r <= 200));
    if (wrong !== undefined) {
      this.frame.tell(`A radius of ${wrong} mm is none: expected 5 to 200.`);
      return;
    }
    this.frame.link.send({ do: "radii", supply: supply ?? null, takeUp: takeUp ?? null });
    this.frame.tell(supply === undefined ? "The reels turn no rings." : "The reels turn rings now; their radius changes slowly while the tape runs.");
  }

  private row(id: string, cells: HTMLElement[], reading: Reading | undefined): void {
    const [value, limit, verdict] = cells as [HTMLElement, HTMLElement, HTMLElement];
    if (!reading) {
      for (const cell of cells) say(cell, cell === value ? "–" : "");
      return;
    }
    const digits = Math.max(3, digitsFor(reading.uncertainty, 4));
    say(value, `${id === "speed-error" ? signed(reading.value, digits) : reading.value.toFixed(digits)} ${plusMinus(reading.uncertainty, digits)}`);
    value.dataset.value = String(reading.value);
    value.dataset.uncertainty = String(reading.uncertainty);
    say(limit, reading.limit ?? "");
    say(verdict, reading.verdict ? verdictMark[reading.verdict]! : "");
    verdict.dataset.verdict = reading.verdict ?? "";
  }
}
