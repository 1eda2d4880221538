/** Level and equalization, of playback and of record: four screens of the same make. */

import type { DeskLine, Picture, Tone } from "./link";
import type { Frame } from "./screen";
import { AdjustScreen, pictureSection, type AdjustSpec, type Drawing } from "./adjustScreen";
import { HangingTrail } from "./hangingTrail";
import { drawResponse } from "./responsePicture";
import { el, hertz, signed } from "./dom";
import { choice, save } from "./state";

const NO_INPUT = "No sound yet: press I to choose an input.";

/** The value as a plumb-bob with its past hanging beneath. */
export function trailDrawing(unit: string, digits: number, low: string, high: string): Drawing {
  const { root, canvas } = pictureSection("Where the value stands, where it must go, where it has been");
  const trail = new HangingTrail(canvas, unit, digits, low, high);
  return { root, draw: (_, lines) => drawTrail(trail, lines), forget: () => trail.forget() };
}

export function drawTrail(trail: HangingTrail, lines: DeskLine[]): void {
  const first = lines.find((l) => l.now)?.now;
  trail.draw(lines.filter((l) => l.now).map((l) => ({ channel: l.channel, value: l.now!.value })), first && (first.min != null || first.max != null) ? { min: first.min ?? null, max: first.max ?? null } : null);
}

// Every tone against the reference tone above, the tone that is being set beneath.
function responseDrawing(): Drawing {
  const response = el("canvas", { role: "img", "aria-label": "Response of both channels" }), hanging = el("canvas", { role: "img", "aria-label": "Where the tone being set has been" });
  const trail = new HangingTrail(hanging, "dB", 1, "too dull", "too bright");
  return {
    root: el("section", { class: "picture two", "aria-label": "Picture" }, el("div", {}, response), el("div", {}, hanging)),
    draw: (picture, lines) => {
      drawResponse(response, picture.tones ?? [], picture.readings ?? []);
      drawTrail(trail, lines);
    },
    forget: () => trail.forget(),
  };
}

const standing = (picture: Picture): Tone | undefined => (picture.tones ?? []).filter((t) => t.age === 0).sort((a, b) => Math.max(b.left, b.right) - Math.max(a.left, a.right))[0];

function balance(_: Picture, lines: DeskLine[]): string {
  const [left, right] = ["left", "right"].map((c) => lines.find((l) => l.channel === c)?.now?.value);
  return left === undefined || right === undefined ? "" : `left less right ${signed(left - right, 2)} dB`;
}

async function reference(frame: Frame): Promise<void> {
  const text = await frame.ask("Reference level", "What a tone at reference level should read here, dBFS (empty: no target)", choice.reference === null ? "" : String(choice.reference));
  if (text === null) return;
  const db = text.trim() === "" ? null : Number(text.replace("−", "-").replace(",", "."));
  if (db !== null && !(db >= -60 && db <= 0)) {
    frame.tell(`Expected −60 to 0 dBFS, got “${text}”.`);
    return;
  }
  save({ reference: db });
  frame.link.send({ do: "reference", db });
  frame.tell(db === null ? "Level has no target now." : `Reference level is ${signed(db, 1)} dBFS.`);
}

const referenceKey = (frame: Frame) => ({ key: "R", label: "reference level", press: () => void reference(frame) });
const wholeTape = (frame: Frame) => ({ key: "W", label: "whole tape (practice)", press: () => frame.link.send({ do: "practice", tape: "levels" }) });

const shared = {
  channels: ["left", "right"], unit: "dB", digits: 2,
};

const LEVEL: AdjustSpec = {
  ...shared,
  title: "Level", measurement: "playback", adjustment: "level", practiceTape: "level",
  heading: (picture) => (standing(picture) ? `Level at ${hertz(standing(picture)!.nominal)}, dBFS` : "Level of the reference tone, dBFS"),
  nothing: (picture) => (picture.source === "none" ? NO_INPUT : standing(picture) ? "This is not the reference tone: its level is told on screen 7." : "No steady tone: play the reference tone of a test tape."),
  noAdvice: (line) => (line.now ? "Press R and say what reference level should read: then there is a target." : "Play the reference tone."),
  under: balance,
  drawing: () => trailDrawing("dBFS", 1, "too low", "too high"),
  keys: (frame) => [referenceKey(frame), wholeTape(frame)],
};

const EQUALIZATION: AdjustSpec = {
  ...shared,
  title: "Equalization", measurement: "playback", adjustment: "equalization", practiceTape: "azimuth",
  heading: (_, lines) => trebleHeading(lines),
  nothing: (picture) => (picture.source === "none" ? NO_INPUT : "Play the reference tone, then a tone of treble (10 kHz): it is held against it."),
  noAdvice: () => "Play the reference tone first, then treble.",
  drawing: responseDrawing,
  keys: (frame) => [wholeTape(frame)],
};

const RECORD_LEVEL: AdjustSpec = {
  ...shared,
  title: "Record level", measurement: "record", adjustment: "record-level", practiceTape: "record", signal: "level",
  heading: () => "1 kHz off tape, dBFS",
  nothing: (picture) => recordNothing(picture, "1 kHz at reference level"),
  noAdvice: (line, picture) => (line.now ? "Press R and say what reference level reads in playback: recorded, it must read the same." : recordNothing(picture, "1 kHz at reference level")),
  under: balance,
  drawing: () => trailDrawing("dBFS", 1, "too low", "too high"),
  keys: (frame) => [referenceKey(frame)],
};

const RECORD_EQUALIZATION: AdjustSpec = {
  ...shared,
  title: "Record eq", measurement: "record", adjustment: "record-equalization", practiceTape: "record", signal: "response",
  heading: (_, lines) => trebleHeading(lines),
  nothing: (picture) => recordNothing(picture, "four tones 20 dB under reference level"),
  noAdvice: (_, picture) => recordNothing(picture, "four tones 20 dB under reference level"),
  drawing: responseDrawing,
};

const trebleHeading = (lines: DeskLine[]): string => {
  const hz = lines.find((l) => l.now)?.now?.frequencyHz;
  return hz ? `${hertz(hz)} against the reference tone, dB` : "Treble against the reference tone, dB";
};

/** What is missing before a recorded tone can be set. */
export function recordNothing(picture: Picture, what: string): string {
  if (picture.source === "none") return `${NO_INPUT} P practises.`;
  if (!picture.sending) return `Thread blank tape, set the deck to record and to tape, and press S: ${what} ${what.startsWith("1") ? "is" : "are"} sent.`;
  return "Sending, and nothing comes off the tape: is the deck in record, and its output set to tape?";
}

export const levelScreen = (frame: Frame) => new AdjustScreen(frame, LEVEL);
export const equalizationScreen = (frame: Frame) => new AdjustScreen(frame, EQUALIZATION);
export const recordLevelScreen = (frame: Frame) => new AdjustScreen(frame, RECORD_LEVEL);
export const recordEqualizationScreen = (frame: Frame) => new AdjustScreen(frame, RECORD_EQUALIZATION);
