/** How the next capture is kept where it is not kept as usual: as what, how long, and whether it takes the place of an earlier one. */

import { el } from "./dom";

export interface KeepPlan { measurement: string | null; seconds: number | null; supersede: boolean }

export const usual: KeepPlan = { measurement: null, seconds: null, supersede: true };

/** Measurements that are read from sound. */
export const OF_SOUND: [string, string][] = [
  ["speed", "speed and flutter"], ["azimuth", "azimuth"], ["playback", "playback level and response"], ["bias", "bias"], ["record", "record response"],
  ["distortion", "distortion"], ["noise", "noise"], ["crosstalk", "crosstalk"], ["erase", "erasure"], ["dropouts", "dropouts"], ["loopback", "the interface wired to itself"],
];

export class KeepDialog {
  private readonly dialog = el("dialog", { class: "panel", "aria-labelledby": "plan-title" });

  constructor() { document.body.append(this.dialog); }

  open(now: KeepPlan, screen: string): Promise<KeepPlan> {
    const as = el("select", { id: "keep-as" }, el("option", { value: "" }, `as this screen measures (${screen})`), ...OF_SOUND.map(([id, name]) => el("option", { value: id }, name)));
    as.value = now.measurement ?? "";
    const seconds = el("input", { type: "number", id: "keep-seconds", min: "1", max: "1800", step: "1", placeholder: "as usual" });
    seconds.value = now.seconds === null ? "" : String(now.seconds);
    const supersede = el("input", { type: "checkbox", id: "keep-supersede" });
    supersede.checked = now.supersede;
    const form = el("form", { method: "dialog" }, el("h2", { id: "plan-title" }, "How the next capture is kept"),
      el("p", {}, el("label", { for: "keep-as" }, "Measured as "), as), el("p", {}, el("label", { for: "keep-seconds" }, "Length, s "), seconds),
      el("p", {}, supersede, el("label", { for: "keep-supersede" }, " it takes the place of an earlier one of the same cell and mark")),
      el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " so be it"));
    let plan = now;
    form.addEventListener("submit", () => { plan = { measurement: as.value || null, seconds: seconds.value ? Number(seconds.value) : null, supersede: supersede.checked }; });
    this.dialog.replaceChildren(form);
    this.dialog.showModal();
    as.focus();
    return new Promise((done) => this.dialog.addEventListener("close", () => done(plan), { once: true }));
  }
}
