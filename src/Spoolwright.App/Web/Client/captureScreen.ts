/** A measurement that has no screen of its own: what to put on the tape or play, one key that sends our program and keeps what comes back. */

import type { Picture } from "./link";
import type { Frame, KeyOffer, Screen } from "./screen";
import { el, say } from "./dom";
import { choice } from "./state";

interface About { name: string; play: string }

/** The program that a measurement is read from; none where it is the person's doing. */
const PROGRAMS: Record<string, string> = { record: "multitone", distortion: "mol", noise: "blank", crosstalk: "multitone", dropouts: "dropouts" };

export class CaptureScreen implements Screen {
  readonly title = "Capture";
  readonly practiceTape = "record";
  readonly signal?: string;
  readonly root = el("div", { class: "page" });
  readonly keys: KeyOffer[] = [];
  private readonly state = el("p", { class: "next", role: "status" });

  constructor(private readonly frame: Frame, readonly measurement: string) {
    this.signal = PROGRAMS[measurement];
    void this.load();
  }

  show(picture: Picture): void {
    if (picture.source === "none") say(this.state, "No sound yet: press I to choose an input, or P to practise.");
    else if (picture.keep && ["recording", "measuring"].includes(picture.keep.state)) say(this.state, "Leave the deck alone until it is kept.");
    else if (picture.sending?.program) say(this.state, "The program stands ready. Set the deck to record and to tape; K keeps it as left, J as found: the program plays once from its beginning.");
    else if (this.signal) say(this.state, "Thread blank tape, set the deck to record, and press S to make the program ready.");
    else say(this.state, "Play it, and press K to keep it as left, J as found.");
  }

  private async load(): Promise<void> {
    const about = choice.job ? ((await (await fetch(`/api/jobs/${choice.job}/matrix`)).json()) as { measurements?: (About & { id: string })[] }).measurements?.find((m) => m.id === this.measurement) : undefined;
    this.root.replaceChildren(el("h1", {}, about?.name ?? this.measurement), el("p", { class: "under" }, about?.play ?? "Choose a deck first (press 1)."), this.state, el("p", {}, "A capture made elsewhere can be dropped here."));
    void this.frame;
  }
}
