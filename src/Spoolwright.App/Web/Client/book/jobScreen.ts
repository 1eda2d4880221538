/** One job on one screen: its plan with the clock, function checks, faults, sittings. Left and right go from part to part, up and down from row to row. */

import { el, keyButton } from "../dom";
import type { Frame, KeyOffer } from "../screen";
import { save } from "../state";
import { BookScreen } from "./bookScreen";
import type { Page } from "./calls";
import { tableView } from "./tableView";

interface Task { key: string; title: string; stage: string; why: string; cautions: string[]; waits: string[]; foreseen: string; spentSeconds: number; running: boolean; since: string | null }
interface Check { key: string; title: string; what: string; couldRecord: boolean; warning: string | null; accepted: string | null }
interface JobData extends Page { job: string; deck: string; closed: boolean; next: string | null; tasks: Task[]; checks: Check[]; running: string[]; came: string[] }

const PARTS = ["plan", "checks", "faults", "sittings", "open-points"];
const STAGES = ["intake", "as-found", "strip", "clean", "rebuild", "alignment", "playback", "record", "run-in", "as-left", "photos", "listing", "packing", "aftercare"];

export class JobScreen extends BookScreen<JobData> {
  private part = "plan";
  private mark: "as-found" | "as-left" = "as-found";
  private loadedAt = 0;
  private readonly beside = el("aside", { class: "beside", tabindex: "0", "aria-label": "What is chosen" });
  private readonly clock = el("p", { class: "clock", role: "timer", "data-test": "clock", hidden: "" });
  private readonly ticking = window.setInterval(() => this.showClock(), 1000);

  constructor(frame: Frame, private readonly job: string) {
    super(frame, "Job", `/api/book/job/${job}`);
    this.root.classList.add("job");
  }

  leave(): void { window.clearInterval(this.ticking); }

  override get keys(): KeyOffer[] {
    const to = (verb: string): string => `/api/book/job/${this.job}/${verb}`;
    const parts: Record<string, KeyOffer[]> = {
      plan: [
        { key: "F", label: "finished", press: () => this.withTask((t) => (t.waits.length > 0 ? this.fill(`Finished: ${t.title}`, "finished", to("done"), [{ name: "remark", label: "It waits for others; say why it is done all the same", need: true }], { task: t.key }) : void this.write(to("done"), { task: t.key }))) },
        { key: "L", label: "leave out", press: () => this.withTask((t) => this.fill(`Leave out: ${t.title}`, "leave it out", to("skip"), [{ name: "why", label: "The reason", need: true }], { task: t.key })) },
        { key: "R", label: "open again", press: () => this.withTask((t) => void this.write(to("reopen"), { task: t.key })) },
        { key: "E", label: "type a time", press: () => this.withTask((t) => this.fill(`Time spent: ${t.title}`, "write it down", to("enter"), [{ name: "time", label: "Time", need: true, hint: "1:30, 1.5 h, 90 min, 14:05-15:20, yesterday 2 h" }, { name: "remark", label: "Remark" }], { task: t.key })) },
        { key: "N", label: "new task", press: () => this.fill("A task of this job's own", "add it", to("add-task"), [{ name: "title", label: "What to do", need: true }, { name: "stage", label: "Stage", kind: "select", options: STAGES, value: "rebuild" }, { name: "why", label: "Why" }, { name: "minutes", label: "Minutes foreseen", value: "30" }]) },
      ],
      checks: [
        { key: "W", label: "works", press: () => this.tick("works") },
        { key: "F", label: "fault", press: () => this.tick("fault") },
        { key: "N", label: "not there", press: () => this.tick("not-there") },
        { key: "U", label: "not tried", press: () => this.tick("not-tried") },
        { key: "M", label: this.mark === "as-found" ? "now as found" : "now as left", press: () => this.turnMark() },
        { key: "A", label: "accept in words", press: () => this.withRow("checks", "a function", (key) => this.accept(key, this.page?.checks.find((c) => c.key === key)?.title ?? key)) },
      ],
      faults: [
        { key: "N", label: "new fault", press: () => this.fill("A fault", "write it down", to("fault"), [{ name: "assembly", label: "Assembly", need: true, options: [...new Set(this.page?.tables.find((t) => t.id === "faults")?.rows.map((r) => String(r.cells[0])) ?? [])] }, { name: "what", label: "What is wrong", need: true, kind: "long" }, { name: "mark", label: "Found", kind: "select", options: ["as-found", "first-run", "as-left"], value: this.mark }]) },
        { key: "F", label: "fixed", press: () => this.withRow("faults", "a fault", (key) => this.fill("Fixed", "it is fixed", to("fixed"), [{ name: "words", label: "What was done" }], { key })) },
        { key: "A", label: "accept in words", press: () => this.withRow("faults", "a fault", (key) => this.accept(key, this.rowCells()[1] ?? key)) },
      ],
      sittings: [
        { key: "E", label: "correct", press: () => this.withRow("sittings", "a sitting that stands", (sitting) => this.fill("Correct a sitting", "it was so", to("correct"), [{ name: "time", label: "Time", need: true, hint: "1:30, 1.5 h, 90 min, 14:05-15:20, yesterday 2 h" }, { name: "remark", label: "Remark", value: this.rowCells()[6] ?? "" }], { sitting }, "The earlier entry stays in the book.")) },
        { key: "B", label: "take back", press: () => this.withRow("sittings", "a sitting that stands", (sitting) => this.fill("Take a sitting back", "take it back", to("take-back"), [{ name: "why", label: "The reason", need: true }], { sitting }, "It stays in the book and counts no more.")) },
      ],
    };
    return [
      { key: "T", label: this.page?.running.length ? "stop the clock" : "start the clock", press: () => this.turnClock() },
      ...(parts[this.part] ?? []),
      { key: "Q", label: "tape in the deck", press: () => this.fill("What lies in the deck now", "it does", to("tape"), [{ name: "kind", label: "Tape", kind: "select", options: ["none", "scrap", "blank", "test-tape"] }, { name: "name", label: "Its name" }], {}, "While a test tape is named, whatever could record is refused.") },
      { key: "V", label: "came with it", press: () => this.fill("What came with the deck", "write it down", to("came"), [{ name: "name", label: "What it is", need: true }, { name: "note", label: "Note" }]) },
      { key: "H", label: "what ails the deck", press: () => this.frame.go(`/book/ails/${this.job}`) },
      { key: "O", label: "matrix of readings", press: () => { save({ job: this.job, deck: this.page?.deck ?? "" }); this.frame.go("/matrix"); } },
      ...(this.page?.closed ? [] : [{ key: "C", label: "close the job", press: () => this.fill("Close the job", "close it", to("close"), [], {}, "Its clock must have stopped. Z opens it again.") }]),
      ...super.keys.map((k) => (k.key === "ArrowRight" ? { ...k, press: () => this.turnPart(1) } : k.key === "ArrowLeft" ? { ...k, press: () => this.turnPart(-1) } : k)),
    ];
  }

  protected override draw(page: JobData): void {
    this.loadedAt = Date.now();
    const table = page.tables.find((t) => t.id === this.part)!;
    this.root.replaceChildren(...this.head(page), ...(page.came.length > 0 ? [el("p", { class: "line" }, `With it came ${page.came.join(", ")}.`)] : []), this.clock, this.tabs(page),
      el("div", { class: "jobparts" }, tableView(table, this.address, this.frame.go), this.beside));
    this.showClock();
    this.restore();
    if (!this.rowId(this.part)) this.start(page);
    this.rowChosen();
  }

  // The first look falls on what comes next, not on the top of a long list.
  private start(page: JobData): void {
    const key = this.part === "plan" ? page.running[0] ?? page.next : this.part === "checks" ? page.tables.find((t) => t.id === "checks")?.rows.find((r) => r.cells[this.mark === "as-found" ? 2 : 3] === null)?.id : null;
    const row = (key && this.root.querySelector<HTMLElement>(`tr[data-id="${CSS.escape(key)}"]`)) || this.root.querySelector<HTMLElement>("tbody tr");
    if (row && !document.querySelector("dialog[open]")) row.focus();
  }

  protected override rowChosen(): void {
    const task = this.part === "plan" ? this.page?.tasks.find((t) => t.key === this.rowId("plan")) : null;
    const check = this.part === "checks" ? this.page?.checks.find((c) => c.key === this.rowId("checks")) : null;
    this.beside.hidden = !task && !check;
    if (task) this.beside.replaceChildren(el("h2", {}, task.title), el("p", { class: "faint" }, `${task.stage}; ${task.foreseen} foreseen`), el("p", {}, task.why),
      task.waits.length > 0 ? el("p", { class: "waits" }, `… Do first: ${task.waits.join("; ")}.`) : "",
      ...task.cautions.map((c) => el("p", { class: "caution" }, `! ${c}`)));
    if (check) this.beside.replaceChildren(el("h2", {}, check.title), el("p", {}, check.what), check.couldRecord ? el("p", { class: "caution" }, `! ${check.warning ?? "This could record: no test tape in the deck."}`) : "",
      check.accepted ? el("p", {}, `Accepted: ${check.accepted}`) : "", el("p", { class: "faint" }, `Ticked now: ${this.mark.replace("-", " ")}. M turns it.`));
  }

  private tabs(page: JobData): HTMLElement {
    return el("div", { class: "tabs" }, el("div", { class: "tablist", role: "tablist", "aria-label": "Parts of the job" }, ...PARTS.map((id) => {
      const table = page.tables.find((t) => t.id === id)!, tab = el("button", { type: "button", class: "key", role: "tab", "aria-selected": String(id === this.part) }, `${table.title} (${table.count})`);
      tab.addEventListener("click", () => this.turnTo(id));
      return tab;
    })), el("span", { class: "faint" }, el("kbd", {}, "←"), " ", el("kbd", {}, "→")));
  }

  private turnPart(by: number): void { this.turnTo(PARTS[(PARTS.indexOf(this.part) + by + PARTS.length) % PARTS.length]!); }

  private turnTo(part: string): void {
    this.part = part;
    if (this.page) this.draw(this.page);
    this.frame.keysChanged();
  }

  private turnMark(): void {
    this.mark = this.mark === "as-found" ? "as-left" : "as-found";
    this.frame.tell(`Functions are ticked ${this.mark.replace("-", " ")} now.`);
    this.frame.keysChanged();
    this.rowChosen();
  }

  // A clock that runs is stopped by the key wherever one is in the job: no second one starts beside it by a slip.
  private turnClock(): void {
    const page = this.page;
    if (!page) return;
    const address = `/api/book/job/${this.job}/clock`, running = page.running[0];
    if (running) {
      void this.turn(address, { task: running, seen: "running" });
      return;
    }
    const task = page.tasks.find((t) => t.key === (this.rowId("plan") ?? page.next));
    if (!task) this.frame.tell("Choose a task of the plan first.");
    else if (task.stage === "record" && page.warnings.length > 0) this.frame.tell(`✗ ${page.warnings[0]}`);
    else if (task.waits.length > 0) this.fill(`Begin: ${task.title}`, "start its clock", address, [{ name: "anyway", label: "Say why it is begun all the same", need: true }], { task: task.key, seen: "standing" }, `It waits for ${task.waits.join("; ")}.`);
    else void this.turn(address, { task: task.key, seen: "standing" });
  }

  /** Where another bench turned the clock meanwhile, the page shows it as it is. */
  private async turn(address: string, said: Record<string, unknown>): Promise<void> {
    if (await this.write(address, said)) await this.load();
  }

  private withTask(go: (task: Task) => void): void {
    this.withRow("plan", "a task", (key) => {
      const task = this.page?.tasks.find((t) => t.key === key);
      if (task) go(task);
    });
  }

  private tick(outcome: "works" | "fault" | "not-there" | "not-tried"): void {
    this.withRow("checks", "a function", (key) => {
      const check = this.page?.checks.find((c) => c.key === key), address = `/api/book/job/${this.job}/tick`;
      if (check?.warning && (outcome === "works" || outcome === "fault")) this.frame.tell(`✗ ${check.warning}`);
      else if (outcome === "works" || outcome === "not-there") void this.ticked(address, { key, mark: this.mark, outcome });
      else this.fill(`${check?.title ?? key}: ${outcome === "fault" ? "fault" : "not tried"}, ${this.mark.replace("-", " ")}`, "write it down", address, [{ name: "note", label: outcome === "fault" ? "What is wrong" : "What kept it from being tried", need: true }], { key, mark: this.mark, outcome });
    });
  }

  // The next function is chosen at once: a list of a hundred is gone through by one finger.
  private async ticked(address: string, said: Record<string, unknown>): Promise<void> {
    if ((await this.write(address, said)) === null) this.move(1);
  }

  private accept(key: string, title: string): void {
    this.fill(`Accept: ${title}`, "accept it", `/api/book/job/${this.job}/accept`, [{ name: "words", label: "In words that the buyer reads", need: true, kind: "long" }], { key });
  }

  private showClock(): void {
    const task = this.page?.tasks.find((t) => t.running);
    this.clock.hidden = !task;
    if (!task) return;
    const seconds = Math.round(task.spentSeconds + (Date.now() - this.loadedAt) / 1000), two = (n: number): string => String(n).padStart(2, "0");
    this.clock.replaceChildren(`▶ ${task.title}: ${Math.floor(seconds / 3600)}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)} taken, running since ${task.since}. `, keyButton("T", "stop", () => this.turnClock()));
  }
}
