/** The decks of the book, their jobs, and the way into each. */

import type { Frame, KeyOffer, Screen } from "./screen";
import { choice, save } from "./state";
import { el } from "./dom";

interface Home { version: string; book: string; inAll: number; decks: { profile: string; serial: string; description: string; jobs: { id: string; what: string; opened: string; closed: string | null }[] }[] }

const tapeText = (): string => (choice.tapeName ? `Playing from ${choice.tapeName}: its tones and levels are held against what is heard. Nothing is sent to the deck while it is threaded; X says that it is off.` : "None: level and response of playback need one; speed and azimuth do without.");

export class HomeScreen implements Screen {
  readonly title = "Decks";
  readonly measurement = null;
  readonly root = el("div", { class: "page" });
  readonly keys: KeyOffer[];
  private jobs: { id: string; deck: string }[] = [];
  private readonly list = el("div", { class: "decks" });
  private readonly serial = el("input", { type: "text", id: "serial", autocomplete: "off", required: "" });
  private readonly profile = el("input", { type: "file", id: "profile", accept: ".json,application/json" });

  constructor(private readonly frame: Frame) {
    const form = el("form", { class: "plain" }, el("h2", {}, "Take a deck in"),
      el("p", {}, el("label", { for: "serial" }, "Serial number "), this.serial),
      el("p", {}, el("label", { for: "profile" }, "Deck profile (none: the example's) "), this.profile),
      el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " open a job"));
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      void this.add();
    });
    const tape = el("input", { type: "file", id: "tape", accept: ".json,application/json" });
    const tapeNow = el("p", { class: "faint" }, tapeText());
    tape.addEventListener("change", () => void (async () => {
      const file = tape.files?.[0];
      save({ tape: (await file?.text()) ?? "", tapeName: file?.name ?? "" });
      frame.renew();
      tapeNow.textContent = tapeText();
    })());
    this.root.append(el("h1", {}, "Decks on the bench"), this.list, form,
      el("section", { class: "plain" }, el("h2", {}, "Test tape"), el("p", {}, el("label", { for: "tape" }, "Its leaflet, written as a file (docs/guide/test-tapes.md) "), tape), tapeNow),
      el("section", {}, el("h2", {}, "No deck at hand?"), el("p", {}, "Press P on any measuring screen: a practice deck plays, with faults to find and controls to turn. G leads to its page, and to all others. A sound file can be dropped on any page, or opened with D, and is measured there.")));
    this.keys = [
      { key: "E", label: "take a deck in", press: () => this.serial.focus() },
      { key: "N", label: "next deck's matrix", press: () => this.next() },
    ];
    void this.load();
  }

  private async load(): Promise<void> {
    const home = (await (await fetch("/api/home")).json()) as Home;
    this.jobs = home.decks.flatMap((d) => d.jobs.map((j) => ({ id: j.id, deck: `${d.profile}, ${d.serial}` })));
    if (home.decks.length === 0) this.list.replaceChildren(el("p", {}, "The book is empty. Take a deck in below, or press P to practise."));
    else this.list.replaceChildren(...home.decks.map((deck) => el("article", {}, el("h2", {}, `${deck.profile}, ${deck.serial}`), deck.description ? el("p", { class: "faint" }, deck.description) : null, el("ul", {}, ...deck.jobs.map((job) => this.job(deck.profile + ", " + deck.serial, job))))));
    if (home.inAll > home.decks.length) this.list.append(el("p", {}, `${home.inAll - home.decks.length} others: the book's page of decks lists them (G), and / finds any.`));
    this.root.append(el("p", { class: "faint foot" }, `${home.version}; service book ${home.book}`));
  }

  private job(deck: string, job: Home["decks"][number]["jobs"][number]): HTMLElement {
    const open = el("button", { type: "button", class: "key" }, job.id === choice.job ? "✓ on the bench: matrix" : "matrix");
    open.addEventListener("click", () => {
      save({ job: job.id, deck });
      this.frame.go("/matrix");
    });
    return el("li", {}, `${job.what}, ${job.closed ? `closed ${job.closed.slice(0, 10)}, opened ${job.opened.slice(0, 10)}` : `open since ${job.opened.slice(0, 10)}`} `, open, " ", this.page(job.id), " ", el("a", { href: `/record/${job.id}`, target: "_blank", rel: "noopener" }, "record"));
  }

  private page(job: string): HTMLElement {
    const open = el("button", { type: "button", class: "key" }, "plan, clock and checks");
    open.addEventListener("click", () => this.frame.go(`/book/job/${job}`));
    return open;
  }

  // By keys alone: the first open job after the one on the bench.
  private next(): void {
    if (this.jobs.length === 0) return;
    const at = this.jobs.findIndex((j) => j.id === choice.job), job = this.jobs[(at + 1) % this.jobs.length]!;
    save({ job: job.id, deck: job.deck });
    this.frame.go("/matrix");
  }

  private async add(): Promise<void> {
    const profile = await this.profile.files?.[0]?.text();
    const answer = await fetch("/api/decks", { method: "POST", body: JSON.stringify({ serial: this.serial.value, profile: profile ?? "" }) });
    const said = (await answer.json()) as { job?: string; problem?: string };
    if (!said.job) {
      this.frame.tell(said.problem ?? "The deck could not be taken in.");
      return;
    }
    save({ job: said.job, deck: this.serial.value });
    this.frame.go("/matrix");
  }
}
