/** What ails a deck: likely causes by their share, and beside them the picture that speaks for the one chosen, what is for and against it, and the check that would tell. */

import { el } from "../dom";
import type { Frame, KeyOffer, Screen } from "../screen";
import { choice, save } from "../state";
import { BookScreen } from "./bookScreen";
import type { Page } from "./calls";
import { tableView } from "./tableView";

interface Picture { caption: string; says: string; src: string }
interface Cause { name: string; against: string; check: string; task: string; symptoms: string[] }
interface Finding { id: string; name: string; where: string; share: string; explains: string; memory: boolean; apart: string | null; speaksFor: string[]; against: string[]; moreFor: number; causes: Cause[]; pictures: Picture[] }
interface CausesData extends Page { findings: Finding[] }

/** Priors set by hand on this bench go with every question. */
const asking = (search: string): string => {
  const query = new URLSearchParams(search);
  if (choice.priors) query.set("priors", choice.priors);
  const text = query.toString();
  return text ? `?${text}` : "";
};

export class CausesScreen extends BookScreen<CausesData> {
  private readonly beside = el("aside", { class: "beside", tabindex: "0", "aria-label": "The cause that is chosen", "aria-live": "polite" });
  private picture = 0;

  constructor(frame: Frame, private readonly job: string) {
    super(frame, "What ails the deck", `/api/book/ails/${job}${asking(location.search)}`);
    this.root.classList.add("job", "causes");
  }

  override get keys(): KeyOffer[] {
    return [
      { key: "V", label: "next picture", press: () => this.turn() },
      { key: "O", label: "matrix of readings", press: () => { save({ job: this.job }); this.frame.go("/matrix"); } },
      { key: "T", label: "plan and clock", press: () => this.frame.go(`/book/job/${this.job}`) },
      { key: "E", label: "how often each is met", press: () => this.frame.go("/book/causes") },
      { key: "Q", label: "what you see and hear", press: () => this.frame.go("/book/symptoms") },
      ...super.keys,
    ];
  }

  protected override draw(page: CausesData): void {
    const [causes, mended] = page.tables;
    this.root.replaceChildren(...this.head(page), el("div", { class: "jobparts" }, el("div", { class: "lists" }, tableView(causes!, this.address, this.frame.go), tableView(mended!, this.address, this.frame.go)), this.beside));
    this.restore();
    if (!this.rowId("causes")) this.root.querySelector<HTMLElement>("tbody tr")?.focus();
    this.rowChosen();
  }

  protected override rowChosen(): void {
    this.picture = 0;
    this.drawChosen();
  }

  private turn(): void {
    this.picture++;
    this.drawChosen();
  }

  private drawChosen(): void {
    const finding = this.page?.findings.find((f) => f.id === this.rowId("causes")) ?? this.page?.findings[0];
    this.beside.hidden = !finding;
    if (!finding) return;
    const n = finding.pictures.length, picture = n > 0 ? finding.pictures[this.picture % n]! : null;
    const list = (sign: string, title: string, items: string[]): HTMLElement | string => items.length === 0 ? "" : el("div", {}, el("h3", {}, `${sign} ${title}`), el("ul", { class: "evidence" }, ...items.map((i) => el("li", {}, i))));
    this.beside.replaceChildren(
      el("h2", {}, `${finding.share}: ${finding.name}`), el("p", { class: "faint" }, `${finding.where || "the whole deck"}; takes up ${finding.explains} of what is off there${finding.memory ? "; [memory]: known in the trade, found in no document" : ""}`),
      picture ? el("figure", { class: "speaks" }, el("img", { src: picture.src, alt: picture.says }), el("figcaption", {}, `${n > 1 ? `${(this.picture % n) + 1} of ${n}: ` : ""}${picture.caption}`, n > 1 ? el("span", { class: "faint" }, " ", el("kbd", {}, "V"), " the next") : null)) : "",
      finding.apart ? el("p", { class: "waits" }, finding.apart) : "",
      list("+", "For it", [...finding.speaksFor, ...(finding.moreFor > 0 ? [finding.moreFor === 1 ? "and one figure more" : `and ${finding.moreFor} figures more`] : [])]),
      finding.against.length > 0 ? list("−", "Against it", finding.against) : el("p", { class: "faint" }, "− Nothing that was read speaks against it."),
      ...finding.causes.flatMap((c) => [el("h3", {}, finding.causes.length > 1 ? c.name : "To tell, and to mend"), el("p", {}, el("strong", {}, "Check: "), c.check), el("p", {}, el("strong", {}, "Mend: "), c.task), el("p", { class: "faint" }, `Against it would speak: ${c.against}`),
        ...c.symptoms.map((s) => el("p", { class: "faint" }, `The trade says: ${s}`))]));
  }
}

const priorsOf = (): Map<string, string> => new Map(choice.priors.split(",").filter((p) => p).map((p) => p.split("=") as [string, string]));

/** How often each cause is met; a chance set by hand holds on this bench alone. */
export const causePriors = (frame: Frame): Screen => new BookScreen(frame, "How often each cause is met", `/api/book/causes${asking("")}`, (s) => [
  { key: "E", label: "set the one chosen", press: () => s.withRow("priors", "a cause", (id) => void frame.ask("How often it is met", `${s.rowCells()[0] ?? id}: chance per place in %, 0.01 to 90; empty: as learned`, s.rowCells()[5] ?? "").then((typed) => {
    if (typed === null) return;
    const set = priorsOf(), percent = Number(typed.trim().replace("%", ""));
    if (typed.trim() === "") set.delete(id);
    else if (!(percent >= 0.01 && percent <= 90)) {
      frame.tell(`✗ ${typed} is no chance between 0.01 and 90 %.`);
      return;
    } else set.set(id, String(+(percent / 100).toFixed(6)));
    save({ priors: [...set].map(([k, v]) => `${k}=${v}`).join(",") });
    frame.go("/book/causes");
  })) },
]);

/** What a person sees and hears, by words. */
export const symptoms = (frame: Frame): Screen => new BookScreen(frame, "What you see and hear", `/api/book/symptoms${location.search}`, (s) => [
  { key: "F", label: "find by words", press: () => void frame.ask("What do you see or hear?", "Words, or how they begin", new URLSearchParams(location.search).get("q") ?? "").then((typed) => { if (typed !== null) frame.go(`/book/symptoms?q=${encodeURIComponent(typed.trim())}`); }) },
  { key: "A", label: "all of them", press: () => { void s; frame.go("/book/symptoms"); } },
]);
