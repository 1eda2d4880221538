/** Bias turned over its peak and down the far side to the drop that the tape asks for. */

import type { DeskLine, Hill, Picture } from "./link";
import type { Frame } from "./screen";
import { AdjustScreen, pictureSection, type AdjustSpec } from "./adjustScreen";
import { Hills } from "./hills";
import { recordNothing } from "./levelScreens";
import { hertz } from "./dom";

const SENT = "1 kHz and the bias tone, 20 dB under reference level";

function way(hill: Hill | undefined, picture: Picture): string {
  if (!hill) return recordNothing(picture, SENT);
  if (hill.peak === null) return hill.rising < 0 ? "The level falls, and no peak was passed: turn the bias the other way, slowly, over its top." : "Turn the bias up, slowly and steadily, until the level has gone over its top.";
  if (hill.side === "side-unknown") return "Which side of the peak this is cannot be told yet: go on turning up, past the top.";
  if (hill.wanted === null) return `Past the peak by ${hill.drop?.toFixed(1)} dB. What drop this tape wants is not known: the deck's profile says it for each tape setting.`;
  return "Wait a moment: the value settles.";
}

// The top is the weak side: gone over quickly or in a few wide turns it is known badly, and the drop with it.
function unproven(line: DeskLine): string {
  const now = line.now;
  if (!now || now.uncertainty == null) return "";
  return `The top is known to ±${now.uncertainty.toFixed(1)} dB only: turn back until the level has gone over it and 2 dB down, then slowly over it once more, about ten seconds for the last half decibel up and the first down.`;
}

const BIAS: AdjustSpec = {
  title: "Bias", measurement: "bias", adjustment: "bias", practiceTape: "record", signal: "bias",
  channels: ["left", "right"], unit: "dB", digits: 2,
  heading: (picture) => (picture.hills?.[0] ? `Drop past the bias peak at ${hertz(picture.hills[0].hz)}, dB` : "Drop past the bias peak, dB"),
  nothing: (picture) => (picture.hills?.length ? "No peak passed yet." : recordNothing(picture, SENT)),
  noAdvice: (line: DeskLine, picture) => way(picture.hills?.find((h) => h.channel === line.channel), picture),
  unproven,
  under: (_, lines) => (lines.some((l) => (l.now?.value ?? 0) < 0) ? "Negative: not at the peak yet, too little bias." : ""),
  drawing: () => {
    const { root, canvas } = pictureSection("Each channel on its hill of level over bias");
    const hills = new Hills(canvas);
    return { root, draw: (picture, lines) => hills.draw(picture.hills ?? [], lines), forget: () => hills.forget() };
  },
};

export const biasScreen = (frame: Frame) => new AdjustScreen(frame, BIAS);
