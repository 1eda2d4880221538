/** The practice deck: a new one with hidden faults, the learner's diagnosis, and the score at the end. */

import type { Frame, KeyOffer, Screen } from "./screen";
import { el, say } from "./dom";

interface Kind { name: string; meaning: string; direction: boolean; side: boolean; setting: boolean }
interface About { there: boolean; specimen: number | null; faults: number | null; settings: string[]; kinds: Kind[] }
interface Judged { problem?: string; score?: number; missed?: number; words?: { word: string; finding: string }[]; answers?: { name: string; meaning: string; severity: number }[] }

export class PracticeScreen implements Screen {
  readonly title = "Practice";
  readonly measurement = null;
  readonly root = el("div", { class: "page" });
  readonly keys: KeyOffer[];
  private readonly now = el("p", { class: "under", "data-test": "practice-deck" });
  private readonly kind = el("select", { id: "kind" });
  private readonly place = { direction: pick("where-direction", ["forward", "reverse"]), side: pick("where-side", ["left", "right"]), setting: pick("where-setting", []) };
  private readonly list = el("ul", { "data-test": "diagnosis" });
  private readonly verdict = el("section", { class: "plain", "data-test": "score", "aria-live": "polite" });
  private words: string[] = [];
  private about: About | null = null;

  constructor(private readonly frame: Frame) {
    const labelled = (text: string, of: HTMLElement) => el("label", { for: of.id, hidden: "" }, `${text} `, of);
    const form = el("form", { class: "plain" }, el("h2", {}, "What is wrong with it?"),
      el("p", {}, el("label", { for: "kind" }, "Fault "), this.kind, " ", labelled("direction", this.place.direction), labelled("channel", this.place.side), labelled("tape setting", this.place.setting), el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " write it down")), this.list);
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.write();
    });
    this.kind.addEventListener("change", () => this.places());
    this.root.append(el("h1", {}, "Practice deck"), el("p", {}, "A deck in software, healthy but for a few hidden faults. Measure and turn it on the screens as a real one (P plays it there). Some faults a trimmer mends; dirt and wear stay, and have to be named."), this.now, form, this.verdict);
    this.keys = [
      { key: "N", label: "new deck", press: () => void this.make() },
      { key: "E", label: "name a fault", press: () => this.kind.focus() },
      { key: "B", label: "take the last one back", press: () => { this.words.pop(); this.showWords(); } },
      { key: "D", label: "done: judge and reveal", press: () => void this.judge() },
    ];
    void this.load();
  }

  private async load(): Promise<void> {
    this.about = (await (await fetch("/api/practice")).json()) as About;
    this.kind.replaceChildren(...this.about.kinds.map((k) => el("option", { value: k.name }, `${k.name}: ${k.meaning}`)));
    this.place.setting.replaceChildren(...this.about.settings.map((s) => el("option", { value: s }, s)));
    say(this.now, this.about.there ? `Specimen ${this.about.specimen} stands on the bench. It has ${this.about.faults} hidden ${this.about.faults === 1 ? "fault" : "faults"}.` : "None stands on the bench yet: press N.");
    this.places();
  }

  private async make(): Promise<void> {
    const text = await this.frame.ask("New practice deck", "How many hidden faults, 0 to 6", "3");
    if (text === null) return;
    // It must not play on, or it would be put back over the new one.
    this.frame.link.send({ do: "stop" });
    const answer = (await (await fetch("/api/practice/new", { method: "POST", body: JSON.stringify({ faults: Number(text) }) })).json()) as { problem?: string };
    this.words = [];
    this.showWords();
    this.verdict.replaceChildren();
    await this.load();
    this.frame.tell(answer.problem ?? "A new practice deck stands on the bench. P plays it on any measuring screen.");
  }

  private places(): void {
    const kind = this.about?.kinds.find((k) => k.name === this.kind.value);
    for (const part of ["direction", "side", "setting"] as const) (this.place[part].parentElement as HTMLElement).hidden = !kind?.[part];
  }

  private write(): void {
    const kind = this.about?.kinds.find((k) => k.name === this.kind.value);
    if (!kind) return;
    const word = [kind.name, ...(["direction", "side", "setting"] as const).filter((p) => kind[p]).map((p) => this.place[p].value)].join(".");
    if (!this.words.includes(word)) this.words.push(word);
    this.showWords();
    (document.activeElement as HTMLElement | null)?.blur();
  }

  private showWords(): void { this.list.replaceChildren(...this.words.map((w) => el("li", {}, w))); }

  private async judge(): Promise<void> {
    const said = (await (await fetch("/api/practice/diagnose", { method: "POST", body: JSON.stringify({ words: this.words }) })).json()) as Judged;
    if (said.problem) {
      this.frame.tell(said.problem);
      return;
    }
    const mark: Record<string, string> = { right: "✓ right", "kind only": "? the kind, not the place", wrong: "✗ wrong" };
    this.verdict.replaceChildren(el("h2", {}, `Score: ${said.score} of 100`),
      el("ul", {}, ...(said.words ?? []).map((w) => el("li", {}, `${w.word}: ${mark[w.finding] ?? w.finding}`))),
      el("p", {}, said.missed === 0 ? "None was missed." : `${said.missed} missed.`),
      el("h3", {}, "The answers"), el("ul", {}, ...(said.answers ?? []).map((a) => el("li", {}, `${a.meaning}${a.name.includes(".") ? ` (${a.name.split(".").slice(1).join(", ")})` : ""}`))));
    this.frame.tell(`Score: ${said.score} of 100.`);
  }
}

const pick = (id: string, words: string[]): HTMLSelectElement => el("select", { id }, ...words.map((w) => el("option", { value: w }, w)));
