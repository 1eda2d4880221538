/** Canvas at the screen's own resolution, and the inks: the same as in style.css. */

export const ink = {
  text: "#f3efe4", faint: "#a8a294", line: "#4a4b45", value: "#ffd166", zone: "rgba(94, 200, 160, 0.20)", edge: "#7fe0bb", beam: "rgba(255, 209, 102, 0.30)",
  left: "#8fd0ff", right: "#ffb27a",
};

export function fit(canvas: HTMLCanvasElement): { g: CanvasRenderingContext2D; w: number; h: number; unit: number } {
  const ratio = window.devicePixelRatio || 1;
  const w = canvas.clientWidth, h = canvas.clientHeight;
  if (canvas.width !== Math.round(w * ratio) || canvas.height !== Math.round(h * ratio)) {
    canvas.width = Math.round(w * ratio);
    canvas.height = Math.round(h * ratio);
  }
  const g = canvas.getContext("2d")!;
  g.setTransform(ratio, 0, 0, ratio, 0, 0);
  g.clearRect(0, 0, w, h);
  return { g, w, h, unit: Math.max(11, Math.min(18, Math.min(w / 42, h / 26))) };
}

/** The letters of a picture: so many pixels, and never smaller than can be read at arm's length. */
export const lettering = (pixels: number, weight = 400): string => `${weight} ${Math.max(12, pixels)}px system-ui, sans-serif`;
