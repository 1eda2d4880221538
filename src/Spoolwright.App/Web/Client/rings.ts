/** The picture of flutter: one turn of each rotating part as a ring, fast outside and slow inside its dashed circle. An eccentric part's ring sits off centre. */

import type { Ring } from "./link";
import { fit, ink, lettering } from "./canvas";

const STEPS = [0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5];

export class Rings {
  private scale = 0.1;
  private toldAt = -Infinity;

  constructor(private readonly canvas: HTMLCanvasElement) {}

  draw(rings: Ring[]): void {
    const { g, w, h, unit } = fit(this.canvas);
    if (rings.length === 0) return;
    this.inWords(rings);
    const most = Math.max(...rings.map((r) => Math.max(...r.percent.map(Math.abs))));
    const fitting = STEPS.find((s) => s >= most) ?? 5;
    if (fitting > this.scale || most < 0.3 * this.scale) this.scale = fitting;
    // As many to a line as makes the rings largest.
    const size = (n: number): number => (n > 1 && w / n < 13 * unit ? 0 : 1) * Math.min(w / n, (h - 1.8 * unit) / Math.ceil(rings.length / n) - 3.6 * unit);
    const columns = rings.map((_, i) => i + 1).reduce((best, n) => (size(n) > size(best) ? n : best), 1);
    const lines = Math.ceil(rings.length / columns);
    const cw = w / columns, ch = (h - 1.8 * unit) / lines;
    rings.forEach((ring, i) => this.one(g, ring, (i % columns) * cw, Math.floor(i / columns) * ch, cw, ch, unit));
    g.fillStyle = ink.faint;
    g.font = lettering(1.1 * unit);
    g.textAlign = "left";
    g.fillText(`Dashed: mean speed. Outer circle ${this.scale} % faster, inner ${this.scale} % slower.`, 0.4 * unit, h - 0.5 * unit);
  }

  // For who cannot see the picture; once a second is as often as it can be read.
  private inWords(rings: Ring[]): void {
    if (performance.now() - this.toldAt < 1000) return;
    this.toldAt = performance.now();
    this.canvas.setAttribute("aria-label", `Flutter of each rotating part over its turn. ${rings.map((r) => `${r.part}: ${turning(r)}`).join("; ")}`);
  }

  private one(g: CanvasRenderingContext2D, ring: Ring, x0: number, y0: number, cw: number, ch: number, unit: number): void {
    const radius = Math.max(10, Math.min(cw, ch - 3.6 * unit) * 0.5 - 0.6 * unit);
    const base = radius * 0.66, swing = radius * 0.34;
    const cx = x0 + cw / 2, cy = y0 + radius + 0.5 * unit;
    g.lineWidth = 0.09 * unit;
    for (const [r, dash] of [[base + swing, []], [base, [0.5 * unit, 0.4 * unit]], [base - swing, []]] as [number, number[]][]) {
      g.strokeStyle = dash.length > 0 ? ink.faint : ink.line;
      g.setLineDash(dash);
      g.beginPath();
      g.arc(cx, cy, r, 0, 7);
      g.stroke();
    }
    g.setLineDash([]);
    const n = ring.percent.length;
    g.strokeStyle = ink.value;
    g.lineWidth = 0.26 * unit;
    g.lineJoin = "round";
    g.beginPath();
    for (let k = 0; k <= n; k++) {
      const r = base + swing * Math.max(-1.4, Math.min(1.4, ring.percent[k % n]! / this.scale));
      const angle = (2 * Math.PI * k) / n - Math.PI / 2;
      g.lineTo(cx + r * Math.cos(angle), cy + r * Math.sin(angle));
    }
    g.stroke();
    // From the dashed circle's centre to the ring's own: how far it sits off.
    const off = swing * Math.min(1.4, ring.peak / this.scale), angle = (ring.degrees * Math.PI) / 180 - Math.PI / 2;
    const ex = cx + off * Math.cos(angle), ey = cy + off * Math.sin(angle);
    g.strokeStyle = ink.text;
    g.fillStyle = ink.text;
    g.lineWidth = 0.14 * unit;
    g.beginPath();
    g.moveTo(cx - 0.5 * unit, cy);
    g.lineTo(cx + 0.5 * unit, cy);
    g.moveTo(cx, cy - 0.5 * unit);
    g.lineTo(cx, cy + 0.5 * unit);
    g.moveTo(cx, cy);
    g.lineTo(ex, ey);
    g.stroke();
    g.beginPath();
    g.arc(ex, ey, 0.32 * unit, 0, 7);
    g.fill();
    g.textAlign = "center";
    g.font = lettering(1.25 * unit, 600);
    g.fillText(ring.part, cx, cy + radius + 1.3 * unit);
    g.font = lettering(1.1 * unit);
    g.fillText(turning(ring), cx, cy + radius + 2.8 * unit);
  }
}

const turning = (ring: Ring): string => `${ring.peak.toFixed(3)} % a turn, ${ring.rate.toFixed(2)}/s`;
