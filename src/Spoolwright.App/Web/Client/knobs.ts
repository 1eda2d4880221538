/** The practice deck's controls as knobs: chosen with up and down, turned with left and right, finer with Shift. */

import type { Knob, Picture } from "./link";
import type { Frame, KeyOffer } from "./screen";
import { el, say, signed } from "./dom";

export class Knobs {
  readonly root = el("div", { class: "knobs", role: "group", "aria-label": "Controls of the practice deck", hidden: "" });
  readonly keys: KeyOffer[];
  private names = "";
  private chosen = 0;
  private knobs: Knob[] = [];

  constructor(private readonly frame: Frame, private readonly wanted: (name: string) => boolean) {
    this.keys = [
      { key: "ArrowLeft", label: "", press: () => this.turn(-0.05) },
      { key: "ArrowRight", label: "", press: () => this.turn(0.05) },
      { key: "Shift+ArrowLeft", label: "", press: () => this.turn(-0.01) },
      { key: "Shift+ArrowRight", label: "", press: () => this.turn(0.01) },
      { key: "ArrowUp", label: "", press: () => this.choose(-1) },
      { key: "ArrowDown", label: "", press: () => this.choose(1) },
    ];
  }

  show(picture: Picture): void {
    this.knobs = (picture.practice?.controls ?? []).filter((k) => this.wanted(k.name));
    this.root.hidden = this.knobs.length === 0;
    const names = this.knobs.map((k) => k.name).join();
    if (names !== this.names) {
      this.names = names;
      this.root.replaceChildren(...this.knobs.map((k, i) => this.knob(k, i)), el("p", { class: "faint" }, "Practice deck: ", el("kbd", {}, "←"), el("kbd", {}, "→"), " turn, with ", el("kbd", {}, "Shift"), " finer", this.knobs.length > 1 ? ", ↑ ↓ choose" : ""));
    }
    this.knobs.forEach((k, i) => {
      const box = this.root.children[i] as HTMLElement;
      box.setAttribute("aria-valuenow", k.at.toFixed(3));
      box.setAttribute("aria-valuetext", `${signed(k.at, 2)} turns`);
      box.toggleAttribute("data-chosen", i === this.chosen);
      say(box.querySelector("output")!, signed(k.at, 2));
      (box.querySelector("i") as HTMLElement).style.transform = `rotate(${(k.at * 360).toFixed(0)}deg)`;
    });
  }

  private knob(k: Knob, i: number): HTMLElement {
    const box = el("div", { class: "knob", role: "slider", tabindex: "0", "aria-label": `${k.name}: ${k.meaning}`, "aria-valuemin": String(k.least), "aria-valuemax": String(k.most), "aria-valuenow": String(k.at) },
      el("i", { "aria-hidden": "true" }), el("span", {}, k.name.replace(/^(forward|reverse)\./, "").replaceAll(".", " ").replaceAll("-", " ")), el("output", {}));
    box.addEventListener("focus", () => { this.chosen = i; });
    box.addEventListener("wheel", (event) => {
      event.preventDefault();
      this.chosen = i;
      this.turn(event.deltaY < 0 ? 0.02 : -0.02);
    }, { passive: false });
    return box;
  }

  private turn(turns: number): void {
    const knob = this.knobs[this.chosen];
    if (knob) this.frame.link.send({ do: "knob", name: knob.name, turns });
  }

  private choose(by: number): void {
    if (this.knobs.length > 0) this.chosen = (this.chosen + by + this.knobs.length) % this.knobs.length;
  }
}
