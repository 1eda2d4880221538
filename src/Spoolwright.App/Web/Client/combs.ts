/**
 * The picture of azimuth: every tone is a comb whose teeth stand at each delay its phase allows; the true delay is where a tooth of every comb stands. Under
 * the combs hangs where that place has been, the newest at the top.
 */

import type { Picture } from "./link";
import { hertz } from "./dom";
import { ink, fit, lettering } from "./canvas";

const TRAIL_SECONDS = 40;

export class Combs {
  private readonly trail: { at: number; us: number; sure: boolean }[] = [];
  private reach = 60;

  constructor(private readonly canvas: HTMLCanvasElement) {}

  forget(): void { this.trail.length = 0; }

  draw(picture: Picture, limitUs: { min: number; max: number } | null): void {
    const { g, w, h, unit } = fit(this.canvas);
    const skew = picture.skew;
    const now = performance.now() / 1000;
    if (skew) this.trail.push({ at: now, us: skew.us, sure: skew.cycle !== "nearest" });
    while (this.trail.length > 0 && now - this.trail[0]!.at > TRAIL_SECONDS) this.trail.shift();
    this.settleReach(skew?.us ?? 0, limitUs);
    const tones = (picture.tones ?? []).filter((t) => t.age < 60).slice(0, 7);
    const left = 5 * unit, right = w - unit, top = 2.2 * unit;
    const x = (us: number): number => left + ((us / this.reach + 1) / 2) * (right - left);
    const row = Math.min(3.4 * unit, (h * 0.5) / Math.max(1, tones.length));
    const bottom = top + row * Math.max(1, tones.length);
    this.ground(g, x, top, h - 1.6 * unit, bottom, unit, limitUs);
    if (skew) {
      g.fillStyle = ink.beam;
      const half = Math.max(0.18 * unit, x(skew.u) - x(0));
      g.fillRect(x(skew.us) - half, top - 0.6 * unit, 2 * half, bottom - top + 0.9 * unit);
    }
    tones.forEach((tone, i) => {
      const y = top + row * i, stands = tone.age === 0;
      g.font = lettering(1.15 * unit);
      g.textAlign = "right";
      g.fillStyle = stands ? ink.text : ink.faint;
      g.fillText(hertz(tone.nominal), left - 0.7 * unit, y + row * 0.62);
      for (const tick of tone.ticks) {
        if (Math.abs(tick) > this.reach) continue;
        const agrees = stands && skew !== undefined && Math.abs(tick - skew.us) < Math.max(1.5, 2 * skew.u, 0.03 * (1e6 / tone.hz));
        g.strokeStyle = agrees ? ink.value : stands ? ink.text : ink.faint;
        g.lineWidth = agrees ? 0.38 * unit : 0.16 * unit;
        g.beginPath();
        g.moveTo(x(tick), y + row * (agrees ? 0.08 : 0.3));
        g.lineTo(x(tick), y + row * (agrees ? 0.92 : 0.75));
        g.stroke();
        if (agrees) {
          g.fillStyle = ink.value;
          g.beginPath();
          g.arc(x(tick), y + row * 0.5, 0.5 * unit, 0, 7);
          g.fill();
        }
      }
    });
    this.past(g, x, bottom + 0.6 * unit, h - 2 * unit, now, unit);
  }

  private settleReach(us: number, limit: { min: number; max: number } | null): void {
    const wanted = Math.max(1.35 * Math.abs(us), limit ? 2.5 * Math.max(Math.abs(limit.min), Math.abs(limit.max)) : 0, 12);
    const steps = [15, 30, 60, 120, 240, 600];
    const fitting = steps.find((s) => s >= wanted) ?? 600;
    // Wider at once, narrower only when there is room to spare: a scale that flickers cannot be read.
    if (fitting > this.reach || wanted < 0.35 * this.reach) this.reach = fitting;
  }

  private ground(g: CanvasRenderingContext2D, x: (us: number) => number, top: number, bottom: number, combs: number, unit: number, limit: { min: number; max: number } | null): void {
    if (limit) {
      g.fillStyle = ink.zone;
      g.fillRect(x(limit.min), top - 0.6 * unit, x(limit.max) - x(limit.min), bottom - top + 0.6 * unit);
      g.strokeStyle = ink.edge;
      g.lineWidth = 0.14 * unit;
      g.setLineDash([0.6 * unit, 0.4 * unit]);
      for (const us of [limit.min, limit.max]) {
        g.beginPath();
        g.moveTo(x(us), top - 0.6 * unit);
        g.lineTo(x(us), bottom);
        g.stroke();
      }
      g.setLineDash([]);
    }
    g.strokeStyle = ink.line;
    g.lineWidth = 0.1 * unit;
    g.fillStyle = ink.text;
    g.font = lettering(1.1 * unit);
    g.textAlign = "center";
    for (const share of [-1, -0.5, 0, 0.5, 1]) {
      const us = share * this.reach;
      g.beginPath();
      g.moveTo(x(us), top - 0.4 * unit);
      g.lineTo(x(us), bottom);
      g.stroke();
      g.textAlign = share === -1 ? "left" : share === 1 ? "right" : "center";
      g.fillText(share === 0 ? "together" : `${us < 0 ? "−" : "+"}${Math.abs(us)}${Math.abs(share) === 1 ? " µs" : ""}`, x(us), bottom + 1.3 * unit);
    }
    g.fillStyle = ink.faint;
    g.textAlign = "left";
    g.fillText("◂ left later", x(-this.reach), top - 0.9 * unit);
    g.textAlign = "right";
    g.fillText("right later ▸", x(this.reach), top - 0.9 * unit);
    g.beginPath();
    g.moveTo(x(-this.reach), combs + 0.3 * unit);
    g.lineTo(x(this.reach), combs + 0.3 * unit);
    g.stroke();
  }

  private past(g: CanvasRenderingContext2D, x: (us: number) => number, top: number, bottom: number, now: number, unit: number): void {
    g.lineWidth = 0.28 * unit;
    g.lineJoin = "round";
    g.strokeStyle = ink.value;
    g.beginPath();
    let open = false, last = 0;
    for (let i = this.trail.length - 1; i >= 0; i--) {
      const point = this.trail[i]!;
      const y = top + ((now - point.at) / TRAIL_SECONDS) * (bottom - top);
      if (Math.abs(point.us) > this.reach) { open = false; continue; }
      if (open && last - point.at < 0.5) g.lineTo(x(point.us), y);
      else g.moveTo(x(point.us), y);
      open = true;
      last = point.at;
    }
    g.stroke();
    g.fillStyle = ink.faint;
    g.textAlign = "right";
    g.font = lettering(unit);
    const beside = x(-this.reach) - 0.4 * unit;
    g.fillText("now", beside, top + 0.8 * unit);
    g.fillText(`${TRAIL_SECONDS} s ago`, beside, bottom);
  }
}
