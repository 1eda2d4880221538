/** Where the sound comes from: the inputs the browser has, or the practice deck. */

import type { Frame } from "./screen";
import { Microphone } from "./sound";
import { el } from "./dom";
import { isTablet } from "./state";

export class InputDialog {
  private readonly dialog = el("dialog", { class: "panel", "aria-labelledby": "input-title" });

  constructor(private readonly frame: Frame, private readonly microphone: Microphone, private readonly practise: (tape: string) => void) {
    document.body.append(this.dialog);
  }

  async open(): Promise<void> {
    const list = el("div", { class: "choices" });
    const inputs = navigator.mediaDevices && !isTablet ? await Microphone.inputs() : [];
    const offers: [string, () => void][] = [
      ...inputs.map((d, i): [string, () => void] => [`${d.label || `input ${i + 1}`}${d.deviceId === Microphone.remembered ? " (used last)" : ""}`, () => void this.choose(d.deviceId || null)]),
      ["Practice deck: azimuth tones", () => this.practise("azimuth")],
      ["Practice deck: level tone", () => this.practise("level")],
      ["Practice deck: whole level tape", () => this.practise("levels")],
      ["Practice deck: speed tape", () => this.practise("speed")],
      ["Practice deck: blank tape, recording", () => this.practise("record")],
    ];
    offers.slice(0, 9).forEach(([label, take], i) => {
      const button = el("button", { type: "button", class: "key" }, el("kbd", {}, String(i + 1)), " ", label);
      button.addEventListener("click", () => {
        this.dialog.close();
        take();
      });
      list.append(button);
    });
    this.dialog.replaceChildren(el("h2", { id: "input-title" }, "Where the sound comes from"), el("p", {}, isTablet ? "Sound comes in at the bench's own machine; choose its input there." : "An input is asked for with all of the browser's processing off, both channels, at the interface's own rate."), list,
      ...(inputs.length === 0 && !isTablet ? [el("p", {}, "The browser sees no input. Connect the interface, or use the practice deck.")] : []), el("p", {}, el("kbd", {}, "Esc"), " leaves it as it is"));
    this.dialog.onkeydown = (event) => {
      const button = list.children[Number(event.key) - 1] as HTMLButtonElement | undefined;
      if (button) {
        event.preventDefault();
        event.stopPropagation();
        button.click();
      }
    };
    this.dialog.showModal();
    (list.firstElementChild as HTMLElement | null)?.focus();
  }

  async choose(deviceId: string | null): Promise<void> {
    try {
      const opened = await this.microphone.open(deviceId);
      this.frame.tell(`Listening to ${opened.label} at ${opened.rate} Hz.`);
    } catch (error) {
      this.frame.tell(error instanceof Error ? error.message : String(error));
    }
  }
}
