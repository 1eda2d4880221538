/** Level and equalization of playback: the tone that stands, and every tone's place against the reference tone. */

import type { Picture, Reading } from "./link";
import type { Frame, KeyOffer, Screen } from "./screen";
import { el, hertz, plusMinus, say, signed } from "./dom";
import { drawResponse } from "./responsePicture";
import { Knobs } from "./knobs";

export class LevelScreen implements Screen {
  readonly title = "Level";
  readonly measurement = "playback";
  readonly root = el("div", { class: "adjust levels" });
  readonly keys: KeyOffer[];
  private readonly tone = el("h2", {}, "Level of the tone");
  private readonly left = el("output", { class: "value", "data-test": "level-left" }, "–");
  private readonly right = el("output", { class: "value", "data-test": "level-right" }, "–");
  private readonly under = el("p", { class: "under" });
  private readonly canvas = el("canvas", { role: "img", "aria-label": "Response of both channels" });
  private readonly knobs: Knobs;

  constructor(private readonly frame: Frame) {
    this.knobs = new Knobs(frame, (name) => name.endsWith("level") || name.endsWith("eq"));
    this.root.append(
      el("section", { class: "now", "aria-label": "Value now" }, this.tone,
        el("div", { class: "pair" }, el("div", { class: "left" }, el("h3", {}, "◀ left"), this.left), el("div", { class: "right" }, el("h3", {}, "right ▶"), this.right)), this.under),
      el("section", { class: "turning", "aria-label": "Controls" }, this.knobs.root),
      el("section", { class: "picture", "aria-label": "Picture" }, this.canvas),
    );
    this.keys = [{ key: "F", label: "forget earlier tones", press: () => frame.link.send({ do: "forget" }) }, ...this.knobs.keys];
  }

  show(picture: Picture): void {
    this.knobs.show(picture);
    if (this.frame.hold) return;
    const standing = (picture.tones ?? []).filter((t) => t.age === 0);
    const tone = standing.sort((a, b) => Math.max(b.left, b.right) - Math.max(a.left, a.right))[0];
    const readings = picture.readings ?? [];
    if (!tone) {
      say(this.tone, "Level of the tone");
      say(this.left, "–");
      say(this.right, "–");
      say(this.under, picture.source === "none" ? "No sound yet: press I to choose an input." : "No steady tone: play the level section of a test tape.");
      this.frame.guide.tell(null);
    } else {
      say(this.tone, `Level at ${hertz(tone.nominal)}, dB under full scale`);
      say(this.left, signed(tone.left, 2));
      say(this.right, signed(tone.right, 2));
      say(this.under, `left less right ${signed(tone.left - tone.right, 2)} dB, ${plusMinus(Math.hypot(tone.leftU, tone.rightU), 3)} dB${limits(readings, tone.nominal)}`);
      this.frame.guide.tell(Math.abs(tone.left - tone.right));
      Object.assign(this.root.dataset, { tone: String(tone.nominal), left: String(tone.left), right: String(tone.right), leftU: String(tone.leftU), rightU: String(tone.rightU) });
    }
    drawResponse(this.canvas, picture.tones ?? [], readings);
  }
}

function limits(readings: Reading[], hz: number): string {
  const own = readings.filter((r) => r.quantity === "response" && r.frequencyHz === hz);
  return own.length === 0 ? "" : `; against the reference tone ${own.map((r) => `${r.channel} ${signed(r.value, 2)}${r.limit ? ` (${r.limit})` : ""}`).join(", ")} dB`;
}
