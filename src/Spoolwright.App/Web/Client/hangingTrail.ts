/**
 * The picture of a value that is being set: it hangs as a plumb-bob at the top, over the target's two edges; beneath it hangs where it has been, the newest at the
 * top. Left and right have a colour and a shape each.
 */

import { fit, ink, lettering } from "./canvas";
import { signed } from "./dom";

export interface Lane { channel: string; value: number }
export interface Target { min: number | null; max: number | null }

const SECONDS = 40;

export class HangingTrail {
  private readonly past: { at: number; lanes: Lane[] }[] = [];
  private reach = 0;
  private middle = 0;

  constructor(private readonly canvas: HTMLCanvasElement, private readonly unit: string, private readonly digits: number, private readonly low: string, private readonly high: string) {}

  forget(): void { this.past.length = 0; }

  draw(lanes: Lane[], target: Target | null): void {
    const { g, w, h, unit } = fit(this.canvas);
    const now = performance.now() / 1000;
    if (lanes.length > 0) this.past.push({ at: now, lanes });
    while (this.past.length > 0 && now - this.past[0]!.at > SECONDS) this.past.shift();
    this.settle(lanes, target);
    const left = unit, right = w - unit, top = 3.4 * unit, bottom = h - 1.4 * unit;
    const x = (v: number): number => Math.max(left - unit, Math.min(right + unit, left + (((v - this.middle) / this.reach + 1) / 2) * (right - left)));
    this.ground(g, x, left, right, top, bottom, unit, target);
    for (const channel of ["both", "left", "right"]) this.lane(g, channel, x, top, bottom, now, unit);
    for (const lane of lanes) bob(g, lane.channel, x(lane.value), top - 0.4 * unit, unit);
  }

  private settle(lanes: Lane[], target: Target | null): void {
    const edges = [target?.min, target?.max].filter((e): e is number => e != null);
    const middle = edges.length === 2 ? (edges[0]! + edges[1]!) / 2 : edges[0] ?? (lanes[0] ? Math.round(lanes[0].value) : 0);
    const half = edges.length === 2 ? Math.abs(edges[1]! - edges[0]!) / 2 : 1;
    if (this.reach === 0 || Math.abs(middle - this.middle) > half) this.middle = middle;
    const off = Math.max(0, ...lanes.map((l) => Math.abs(l.value - this.middle)));
    const wanted = Math.max(2.5 * half, 1.25 * off);
    const fitting = [1, 2, 5].flatMap((m) => [-3, -2, -1, 0, 1, 2, 3].map((e) => m * 10 ** e)).sort((a, b) => a - b).find((s) => s >= wanted) ?? wanted;
    // Wider at once, narrower only when there is room to spare: a scale that flickers cannot be read.
    if (fitting > this.reach || wanted < 0.3 * this.reach) this.reach = fitting;
  }

  private ground(g: CanvasRenderingContext2D, x: (v: number) => number, left: number, right: number, top: number, bottom: number, unit: number, target: Target | null): void {
    const min = target?.min ?? null, max = target?.max ?? null;
    if (min !== null || max !== null) {
      const a = min === null ? left : x(min), b = max === null ? right : x(max);
      g.fillStyle = ink.zone;
      g.fillRect(a, top - 1.2 * unit, b - a, bottom - top + 1.2 * unit);
      g.strokeStyle = ink.edge;
      g.lineWidth = 0.16 * unit;
      g.setLineDash([0.6 * unit, 0.4 * unit]);
      for (const [edge, side] of [[min, "right"], [max, "left"]] as [number | null, CanvasTextAlign][]) {
        if (edge === null) continue;
        g.beginPath();
        g.moveTo(x(edge), top - 1.2 * unit);
        g.lineTo(x(edge), bottom);
        g.stroke();
        g.fillStyle = ink.text;
        g.font = lettering(1.2 * unit, 600);
        g.textAlign = side;
        g.fillText(signed(edge, this.digits), x(edge) + (side === "left" ? 0.4 : -0.4) * unit, bottom - 0.5 * unit);
      }
      g.setLineDash([]);
    }
    g.fillStyle = ink.faint;
    g.font = lettering(1.1 * unit);
    g.textAlign = "left";
    g.fillText(`◂ ${this.low}`, left, 1.3 * unit);
    g.fillText(`${signed(this.middle - this.reach, this.digits)} ${this.unit}`, left, bottom + 1.1 * unit);
    g.textAlign = "right";
    g.fillText(`${this.high} ▸`, right, 1.3 * unit);
    g.fillText(`${signed(this.middle + this.reach, this.digits)} ${this.unit}`, right, bottom + 1.1 * unit);
    g.textAlign = "center";
    g.fillText(`${SECONDS} s ago`, (left + right) / 2, bottom + 1.1 * unit);
    g.strokeStyle = ink.line;
    g.lineWidth = 0.12 * unit;
    g.beginPath();
    g.moveTo(left, top);
    g.lineTo(right, top);
    g.stroke();
  }

  private lane(g: CanvasRenderingContext2D, channel: string, x: (v: number) => number, top: number, bottom: number, now: number, unit: number): void {
    g.strokeStyle = colour(channel);
    g.lineWidth = 0.26 * unit;
    g.lineJoin = "round";
    g.setLineDash(channel === "right" ? [0.9 * unit, 0.35 * unit] : []);
    g.beginPath();
    let last = Infinity;
    for (let i = this.past.length - 1; i >= 0; i--) {
      const point = this.past[i]!, lane = point.lanes.find((l) => l.channel === channel);
      if (!lane) continue;
      const y = top + ((now - point.at) / SECONDS) * (bottom - top);
      if (last - point.at < 0.5) g.lineTo(x(lane.value), y);
      else g.moveTo(x(lane.value), y);
      last = point.at;
    }
    g.stroke();
    g.setLineDash([]);
  }
}

export const colour = (channel: string): string => (channel === "left" ? ink.left : channel === "right" ? ink.right : ink.value);

/** The mark of a channel: left points left, right points right, both is round. */
export function bob(g: CanvasRenderingContext2D, channel: string, x: number, y: number, unit: number): void {
  g.fillStyle = colour(channel);
  g.beginPath();
  if (channel === "both") g.arc(x, y - 0.5 * unit, 0.7 * unit, 0, 7);
  else {
    const way = channel === "left" ? -1 : 1;
    g.moveTo(x, y + 0.3 * unit);
    g.lineTo(x, y - 1.5 * unit);
    g.lineTo(x + way * 1.3 * unit, y - 0.6 * unit);
  }
  g.fill();
}
