/** Each tone's level against the reference tone, left and right side by side in two shapes, between the limits where the deck has some. */

import type { Reading, Tone } from "./link";
import { fit, ink, lettering } from "./canvas";
import { hertz, signed } from "./dom";

export function drawResponse(canvas: HTMLCanvasElement, tones: Tone[], readings: Reading[]): void {
  const { g, w, h, unit } = fit(canvas);
  const shown = tones.filter((t) => t.leftResponse !== null && t.rightResponse !== null).sort((a, b) => a.nominal - b.nominal);
  const left = 4 * unit, right = w - 1.5 * unit, top = unit, bottom = h - 2.6 * unit;
  const most = Math.max(3, ...shown.flatMap((t) => [Math.abs(t.leftResponse!), Math.abs(t.rightResponse!)]).map((v) => Math.min(v, 12)));
  const span = most > 6 ? 12 : most > 3 ? 6 : 3;
  const x = (hz: number): number => left + (Math.log10(hz / 25) / Math.log10(22000 / 25)) * (right - left);
  const y = (db: number): number => top + ((span - db) / (2 * span)) * (bottom - top);
  g.font = lettering(1.1 * unit);
  g.fillStyle = ink.faint;
  g.strokeStyle = ink.line;
  g.lineWidth = 0.09 * unit;
  g.textAlign = "right";
  for (let db = -span; db <= span; db += span / 3) {
    g.beginPath();
    g.moveTo(left, y(db));
    g.lineTo(right, y(db));
    g.stroke();
    g.fillText(`${signed(db, 0)} dB`, left - 0.5 * unit, y(db) + 0.4 * unit);
  }
  g.textAlign = "center";
  for (const hz of [31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000]) g.fillText(hertz(hz).replace(" kHz", "k").replace(" Hz", ""), x(hz), h - 1.1 * unit);
  for (const reading of readings.filter((r) => r.quantity === "response" && r.frequencyHz && r.min != null && r.max != null)) {
    g.fillStyle = ink.zone;
    g.fillRect(x(reading.frequencyHz!) - 0.9 * unit, y(reading.max!), 1.8 * unit, y(reading.min!) - y(reading.max!));
  }
  for (const tone of shown) {
    for (const [db, colour, side] of [[tone.leftResponse!, ink.left, -1], [tone.rightResponse!, ink.right, 1]] as [number, string, number][]) {
      const px = x(tone.nominal) + side * 0.35 * unit, py = y(Math.max(-span, Math.min(span, db)));
      g.fillStyle = tone.age === 0 ? colour : colour + "aa";
      g.beginPath();
      g.moveTo(px, py - 0.6 * unit);
      g.lineTo(px + side * 0.9 * unit, py);
      g.lineTo(px, py + 0.6 * unit);
      g.fill();
    }
  }
  if (shown.length === 0) {
    g.fillStyle = ink.text;
    g.font = lettering(1.4 * unit);
    g.fillText("Play the reference tone first (1 kHz);", (left + right) / 2, (top + bottom) / 2 - 0.5 * unit, right - left);
    g.fillText("each tone that follows takes its place here.", (left + right) / 2, (top + bottom) / 2 + 1.3 * unit, right - left);
  }
}
