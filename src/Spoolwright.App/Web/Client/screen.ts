/** What every screen is to the frame around it. */

import type { Link, Picture } from "./link";
import type { Guide } from "./guide";

export interface Frame {
  link: Link;
  guide: Guide;
  /** Says a sentence to eyes and ears. */
  tell(text: string): void;
  go(path: string): void;
  hold: boolean;
}

export interface KeyOffer { key: string; label: string; press(): void }

export interface Screen {
  readonly title: string;
  readonly root: HTMLElement;
  /** The catalogue id that a kept capture is measured by; null: none here. */
  readonly measurement: string | null;
  readonly keys: KeyOffer[];
  show?(picture: Picture): void;
  leave?(): void;
}
