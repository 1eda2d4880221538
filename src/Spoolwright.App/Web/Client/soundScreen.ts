/** The way in and the way out: what the input is, a check of it by a known signal, levels of what is sent, a tablet's code. */

import type { Picture } from "./link";
import type { Frame, KeyOffer, Screen } from "./screen";
import type { Output } from "./output";
import { choice, isTablet, save } from "./state";
import { el, say, signed } from "./dom";

export class SoundScreen implements Screen {
  readonly title = "Sound";
  readonly measurement = null;
  readonly root = el("div", { class: "page" });
  readonly keys: KeyOffer[];
  private readonly input = el("p", { class: "under" });
  private readonly result = el("ul", { "data-test": "check" });
  private readonly bar = el("progress", { max: "1", value: "0", "aria-label": "Check of the input", hidden: "" });
  private readonly level = el("output", { class: "number", "data-test": "output-level" });
  private readonly out = el("p", { "data-test": "output-peak" });
  private readonly delay = el("p", { "data-test": "latency" });
  private readonly pair = el("p", { "data-test": "pair" });
  private seen = "";

  constructor(private readonly frame: Frame, private readonly output: Output) {
    this.root.append(
      el("h1", {}, "Sound"), this.input,
      el("section", { class: "plain" }, el("h2", {}, "Is the input true?"),
        el("p", {}, "Connect the interface's output to its input (or set the deck to source) and press Z: for six seconds a known signal goes out, and what comes back is looked at. Left and right that come back mixed, gain that follows the sound, and filters for speech are found, and the input is refused."),
        this.bar, this.result),
      el("section", { class: "plain" }, el("h2", {}, "What is sent"), el("p", {}, "A tone that asks for reference level is sent at ", this.level, " dBFS. + and − set it: turn it until the deck's meter shows its reference in source."), this.out),
      el("section", { class: "plain" }, el("h2", {}, "From sound to picture"), this.delay),
      ...(isTablet ? [] : [el("section", { class: "plain" }, el("h2", {}, "A tablet at the bench"), this.pair)]));
    say(this.pair, "Q gives a code for a tablet, where the bench was started with --listen.");
    say(this.delay, "Not measured yet: it is counted while the browser's own input is open.");
    this.keys = [
      { key: "Z", label: "check the input", press: () => { frame.link.send({ do: "check" }); this.seen = ""; } },
      { key: "+", label: "send louder", press: () => this.louder(0.5) },
      { key: "-", label: "send quieter", press: () => this.louder(-0.5) },
      ...(isTablet ? [] : [{ key: "Q", label: "code for a tablet", press: () => void this.code() }]),
    ];
    this.sayLevel();
  }

  show(picture: Picture): void {
    say(this.input, picture.source === "none" ? "No input is open: press I." : picture.source === "practice" ? "The practice deck plays: made by this program, nothing between it and the meters." : `Open at ${picture.input?.rate} Hz${(picture.input?.rate ?? 48000) < 48000 ? ": tones above 20 kHz are out of its reach, nothing else" : ""}.`);
    const check = picture.check;
    this.bar.hidden = !check || check.done;
    if (check) this.bar.value = check.progress;
    const text = JSON.stringify(check?.notes ?? "");
    if (check?.done && text !== this.seen) {
      this.seen = text;
      this.result.replaceChildren(...(check.notes ?? []).map((n) => el("li", { "data-code": n.code }, `${n.severity === "error" ? "✗" : "✓"} ${n.text}`)));
      this.frame.tell(check.usable ? "✓ The input may be used." : "✗ The input must not be used as it is.");
    }
    const peak = this.output.peakDb;
    say(this.out, peak === null ? "Nothing is being sent." : `Now going out: peak ${signed(peak, 1)} dBFS.`);
    const sorted = [...this.frame.link.latencies].sort((a, b) => a - b);
    if (sorted.length > 20) {
      const [median, late] = [sorted[sorted.length >> 1]!, sorted[Math.floor(sorted.length * 0.95)]!];
      say(this.delay, `From a block of sound to the paint of its picture: median ${median.toFixed(0)} ms, 95 of 100 within ${late.toFixed(0)} ms.`);
      Object.assign(this.delay.dataset, { median: median.toFixed(1), late: late.toFixed(1), count: String(sorted.length) });
    }
  }

  private louder(db: number): void {
    save({ outputDb: Math.max(-60, Math.min(-3, choice.outputDb + db)) });
    this.sayLevel();
    const sending = this.frame.link.last?.sending;
    if (sending && !sending.program) this.frame.link.send({ do: "send", signal: sending.name, level: choice.outputDb });
  }

  private sayLevel(): void { say(this.level, signed(choice.outputDb, 1)); }

  private async code(): Promise<void> {
    const answer = (await (await fetch("/api/pair", { method: "POST" })).json()) as { address?: string | null; code?: string | null };
    say(this.pair, answer.code ? `On the tablet open ${answer.address} and type ${answer.code.slice(0, 4)} ${answer.code.slice(4)}. It holds for five minutes and one tablet.` : "The bench listens to this machine alone. Start it with --listen and this machine's address to let a tablet in.");
  }
}
