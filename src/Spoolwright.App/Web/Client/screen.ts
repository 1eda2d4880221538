/** What every screen is to the frame around it. */

import type { Link, Picture } from "./link";
import type { Guide } from "./guide";

export interface Frame {
  link: Link;
  guide: Guide;
  /** Says a sentence to eyes and ears, of this page, or of the one at a path that is gone to next. */
  tell(text: string, path?: string): void;
  go(path: string): void;
  /** Asks for a line of text; null: it was left. */
  ask(title: string, label: string, value?: string): Promise<string | null>;
  /** Pushes the chosen deck, condition and tape to the bench again. */
  renew(): void;
  hold: boolean;
  /** Draws the keys anew where a screen's own have changed. */
  keysChanged(): void;
}

/** A key without a label works, and has no button of its own. */
export interface KeyOffer { key: string; label: string; press(): void }

export interface Screen {
  readonly title: string;
  readonly root: HTMLElement;
  /** The catalogue id that a kept capture is measured by; null: none here. */
  readonly measurement: string | null;
  /** The adjustment whose controls lie on the desk here. */
  readonly adjustment?: string;
  /** What the practice deck threads for this screen. */
  readonly practiceTape?: string;
  /** What is sent to the deck's input for this screen; one that records has a tape setting to its condition. */
  readonly signal?: string;
  readonly keys: KeyOffer[];
  show?(picture: Picture): void;
  leave?(): void;
}
