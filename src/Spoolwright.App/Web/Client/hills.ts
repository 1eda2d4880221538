/**
 * The picture of bias: level over bias is a hill. Each channel is a ball on its own: the peak behind it, the target ahead on the far slope. The drop past a peak goes
 * with the square of the way past it, so the way is drawn by the drop's root.
 */

import type { DeskLine, Hill } from "./link";
import { fit, ink, lettering } from "./canvas";
import { bob, colour } from "./hangingTrail";
import { signed } from "./dom";

const SECONDS = 60;

export class Hills {
  private readonly past = new Map<string, { at: number; x: number }[]>();

  constructor(private readonly canvas: HTMLCanvasElement) {}

  forget(): void { this.past.clear(); }

  draw(hills: Hill[], lines: DeskLine[]): void {
    const { g, w, h, unit } = fit(this.canvas);
    const wide = w / Math.max(1, hills.length);
    hills.forEach((hill, i) => this.one(g, hill, lines.find((l) => l.channel === hill.channel), i * wide, wide, h, unit));
    if (hills.length === 0) {
      g.fillStyle = ink.text;
      g.font = lettering(1.4 * unit);
      g.textAlign = "center";
      g.fillText("Each channel will stand here on its hill of level over bias.", w / 2, h / 2, w - 2 * unit);
    }
  }

  private one(g: CanvasRenderingContext2D, hill: Hill, line: DeskLine | undefined, x0: number, w: number, h: number, unit: number): void {
    const min = line?.now?.min ?? (hill.wanted === null ? null : hill.wanted - 0.5), max = line?.now?.max ?? (hill.wanted === null ? null : hill.wanted + 0.5);
    const deepest = Math.max(4, 1.6 * (max ?? 0), 1.15 * Math.abs(hill.drop ?? 0));
    const reach = Math.sqrt(deepest), top = 4.2 * unit, bottom = h - 3.6 * unit;
    const x = (way: number): number => x0 + w / 2 + (way / reach) * (w / 2 - 1.2 * unit);
    const y = (drop: number): number => top + (drop / deepest) * (bottom - top);
    const slope = (from: number, to: number): void => {
      g.beginPath();
      for (let k = 0; k <= 40; k++) {
        const way = from + ((to - from) * k) / 40;
        g.lineTo(x(way), y(way * way));
      }
    };
    if (min !== null && max !== null) {
      const a = Math.sqrt(Math.max(0, min)), b = Math.sqrt(Math.max(0, max));
      slope(a, b);
      g.lineTo(x(b), bottom);
      g.lineTo(x(a), bottom);
      g.fillStyle = ink.zone;
      g.fill();
      g.strokeStyle = ink.edge;
      g.lineWidth = 0.16 * unit;
      g.setLineDash([0.6 * unit, 0.4 * unit]);
      for (const way of [a, b]) {
        g.beginPath();
        g.moveTo(x(way), y(way * way));
        g.lineTo(x(way), bottom);
        g.stroke();
      }
      g.setLineDash([]);
      g.fillStyle = ink.text;
      g.font = lettering(1.15 * unit, 600);
      g.textAlign = "center";
      g.fillText(`${min.toFixed(1)} to ${max.toFixed(1)} dB`, Math.min(x((a + b) / 2), x0 + w - 4.5 * unit), bottom + 1.4 * unit);
    }
    g.strokeStyle = hill.peak === null ? ink.faint : ink.text;
    g.lineWidth = 0.22 * unit;
    g.setLineDash(hill.peak === null ? [0.5 * unit, 0.6 * unit] : []);
    slope(-reach, reach);
    g.stroke();
    g.setLineDash([]);
    g.font = lettering(1.15 * unit);
    g.textAlign = "center";
    g.fillStyle = ink.faint;
    g.fillText(hill.peak === null ? "peak, not passed yet" : `peak ${signed(hill.peak, 2)} dBFS`, x(0), top - 0.9 * unit);
    g.fillText("less bias ◂    ▸ more bias", x(0), h - 0.5 * unit);
    this.balls(g, hill, x, y, unit, reach);
    g.fillStyle = colour(hill.channel);
    g.font = lettering(1.3 * unit, 600);
    g.textAlign = "left";
    g.fillText(hill.channel === "left" ? "◀ left" : "right ▶", x0 + unit, 1.4 * unit);
  }

  private balls(g: CanvasRenderingContext2D, hill: Hill, x: (way: number) => number, y: (drop: number) => number, unit: number, reach: number): void {
    if (hill.peak === null || hill.drop === null) {
      // Somewhere on the near slope: where, the peak will tell.
      const way = -0.62 * reach;
      bob(g, hill.channel, x(way), y(way * way) - 0.2 * unit, unit);
      g.font = lettering(1.6 * unit, 600);
      g.textAlign = "left";
      g.fillText(hill.rising > 0 ? "↗ rising" : hill.rising < 0 ? "↘ falling" : "still", x(way) + 1.9 * unit, y(way * way) + 0.6 * unit);
      return;
    }
    const root = Math.sqrt(Math.max(0, hill.drop)), now = performance.now() / 1000;
    const ways = hill.side === "side-unknown" ? [-root, root] : [hill.side === "under" ? -root : root];
    const past = this.past.get(hill.channel) ?? [];
    this.past.set(hill.channel, past);
    if (ways.length === 1) past.push({ at: now, x: ways[0]! });
    while (past.length > 0 && now - past[0]!.at > SECONDS) past.shift();
    g.fillStyle = colour(hill.channel);
    for (const point of past) {
      g.globalAlpha = 0.05 + 0.3 * (1 - (now - point.at) / SECONDS);
      g.beginPath();
      g.arc(x(point.x), y(point.x * point.x), 0.28 * unit, 0, 7);
      g.fill();
    }
    g.globalAlpha = 1;
    for (const way of ways) {
      bob(g, hill.channel, x(way), y(way * way) - 0.3 * unit, unit);
      if (ways.length > 1) g.fillText("?", x(way), y(way * way) - 2 * unit);
    }
  }
}
