/** Every page there is: its address, its key, its name. Pages of the bench have a digit; further pages are reached through G. A new page is one line here. */

import type { Frame, Screen } from "./screen";
import type { Output } from "./output";
import { AzimuthScreen } from "./azimuthScreen";
import { biasScreen } from "./biasScreen";
import { CaptureScreen } from "./captureScreen";
import { HomeScreen } from "./homeScreen";
import { equalizationScreen, levelScreen, recordEqualizationScreen, recordLevelScreen } from "./levelScreens";
import { MatrixScreen } from "./matrixScreen";
import { PracticeScreen } from "./practiceScreen";
import { SoundScreen } from "./soundScreen";
import { SpeedScreen } from "./speedScreen";
import { TensionScreen } from "./tensionScreen";
import { BOOK_PLACES, bookPlaceAt } from "./book/bookPlaces";

export interface Place { path: string; key?: string; title: string; make(frame: Frame, output: Output): Screen }

export const PLACES: Place[] = [
  { path: "/", key: "1", title: "Decks", make: (f) => new HomeScreen(f) },
  { path: "/matrix", key: "2", title: "Matrix", make: (f) => new MatrixScreen(f) },
  { path: "/tension", key: "3", title: "Tension", make: (f) => new TensionScreen(f) },
  { path: "/speed", key: "4", title: "Speed", make: (f) => new SpeedScreen(f) },
  { path: "/azimuth", key: "5", title: "Azimuth", make: (f) => new AzimuthScreen(f) },
  { path: "/level", key: "6", title: "Level", make: (f) => levelScreen(f) },
  { path: "/equalization", key: "7", title: "Eq", make: (f) => equalizationScreen(f) },
  { path: "/bias", key: "8", title: "Bias", make: (f) => biasScreen(f) },
  { path: "/record-level", key: "9", title: "Rec level", make: (f) => recordLevelScreen(f) },
  { path: "/record-equalization", key: "0", title: "Rec eq", make: (f) => recordEqualizationScreen(f) },
  { path: "/sound", title: "Sound", make: (f, o) => new SoundScreen(f, o) },
  { path: "/practice", title: "Practice", make: (f) => new PracticeScreen(f) },
  ...BOOK_PLACES,
  { path: "/record-azimuth", title: "Record azimuth", make: (f) => new AzimuthScreen(f, true) },
];

/** Screens that measure; what has none is captured on its own page. */
const MEASURES: Record<string, string> = { tension: "/tension", speed: "/speed", azimuth: "/azimuth", playback: "/level", bias: "/bias" };

/** Where a measurement of the matrix is begun. */
export const placeOf = (measurement: string): string => MEASURES[measurement] ?? (TYPED.includes(measurement) ? `/typed/${measurement}` : `/capture/${measurement}`);

const TYPED = ["torque", "brakes", "wind-time", "pinch-force"];

/** The page at an address; null: none. */
export function placeAt(path: string): Place | null {
  const [, kind, id] = path.split("/");
  if (kind === "capture" && id && /^[a-z-]+$/.test(id)) return { path, title: "Capture", make: (f) => new CaptureScreen(f, id) };
  if (kind === "typed" && id && TYPED.includes(id)) return { path, title: id, make: (f) => new TensionScreen(f, id) };
  return bookPlaceAt(path) ?? PLACES.find((p) => p.path === path) ?? null;
}
