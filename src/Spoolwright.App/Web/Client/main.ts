/** The frame around the screens: addresses, keys, what stands at top and bottom. */

import { Link, type Picture } from "./link";
import { Ask } from "./ask";
import { Guide } from "./guide";
import { KeepDialog, usual, type KeepPlan } from "./keepPlan";
import { Output } from "./output";
import { PLACES, placeAt, type Place } from "./places";
import { ReadingsPanel } from "./readingsPanel";
import type { Frame, KeyOffer, Screen } from "./screen";
import { Drop } from "./drop";
import { InputDialog } from "./inputDialog";
import { Microphone } from "./sound";
import { choice, conditionText, isTablet, save } from "./state";
import { el, keyButton, say, signed } from "./dom";

const $ = (id: string): HTMLElement => document.getElementById(id)!;
const link = new Link();
const guide = new Guide();
const ask = new Ask();
const output = new Output();
const panel = new ReadingsPanel();
const keepDialog = new KeepDialog();
const said = $("said");
// The server has said something already where there is no record at an address.
let toldFor = said.textContent ? location.pathname : "";
const frame: Frame = { link, guide, tell, go, renew: chooseDeck, ask: (title, label, value) => ask.open(title, label, value), hold: false, keysChanged: () => showKeys() };
const microphone = new Microphone(link, (why) => {
  link.send({ do: "stop" });
  lost = why;
  tell(why);
}, (opened) => {
  lost = "";
  tell(`The input is back: listening to ${opened.label} again.`);
});
const input = new InputDialog(frame, microphone, practise);
const drop = new Drop(frame, () => screen.measurement ?? "speed");
let screen: Screen;
let place: Place = PLACES[0]!;
let plan: KeepPlan = usual;
let lost = "";
let sends: string | undefined;
let shownKeep = "";

const deckLine = el("span", { class: "deck" }), inputLine = el("span", { class: "input", "data-test": "input" }), keepLine = el("div", { class: "keepline", "data-test": "keep", hidden: "" }), warning = el("div", { class: "warning", role: "alert", hidden: "" }), sendLine = el("div", { class: "sendline", "data-test": "sending", hidden: "" });
const levelLeft = el("meter", { min: "-60", max: "0", high: "-3", low: "-50", optimum: "-12", "aria-label": "Peak left" }), levelRight = el("meter", { min: "-60", max: "0", high: "-3", low: "-50", optimum: "-12", "aria-label": "Peak right" });
const anchors = PLACES.filter((p) => p.key).map((p) => {
  const anchor = el("a", { href: p.path }, el("kbd", {}, p.key!), el("span", {}, ` ${p.title}`));
  anchor.addEventListener("click", (event) => {
    event.preventDefault();
    go(p.path);
  });
  return anchor;
});
$("top").append(el("nav", { "aria-label": "Screens" }, ...anchors), el("div", { class: "lines" }, deckLine, el("span", { class: "meters" }, levelLeft, levelRight), inputLine), warning, sendLine, keepLine);

function common(): KeyOffer[] {
  const offers: KeyOffer[] = [
    { key: "G", label: "all pages", press: openPages },
    { key: "/", label: "search", press: () => go("/book/search") },
    { key: "I", label: "input", press: () => void input.open() },
    { key: "P", label: "practice deck", press: () => practise(screen.practiceTape ?? "azimuth") },
    { key: "D", label: "open a file", press: () => drop.open() },
    ...(choice.tape ? [{ key: "X", label: "test tape is off", press: tapeOff }] : []),
  ];
  if (screen.signal) offers.push({ key: "S", label: "send / stop", press: sendOrStop });
  if (screen.measurement) {
    offers.push(
      { key: "C", label: "next condition", press: nextCondition },
      { key: "J", label: "keep as found", press: () => keep("as-found") },
      { key: "K", label: "keep as left", press: () => keep("as-left") },
      { key: "L", label: "keep first run", press: () => keep("first-run") },
      { key: "U", label: "could not run", press: () => void couldNotRun() },
      { key: "O", label: "how it is kept", press: () => void planKeep() },
      { key: "V", label: "readings kept", press: toggleReadings },
      { key: "H", label: "hold", press: hold },
      { key: "M", label: "guide", press: () => tell(guide.next()) },
    );
  }
  const own = new Set(screen.keys.map((k) => k.key));
  return offers.filter((o) => !own.has(o.key));
}

function hold(): void {
  frame.hold = !frame.hold;
  tell(frame.hold ? "Held: press H to go on." : "Going on.");
}

function keep(mark: string): void {
  const sending = link.last?.sending;
  // A program begins with the capture that is to hold it.
  if (sending?.program && link.last?.source === "microphone" && !["waiting", "recording"].includes(link.last?.keep?.state ?? "")) void output.once(sending.name, sending.level);
  link.send({ do: "keep", measurement: plan.measurement ?? screen.measurement, mark, seconds: plan.seconds, supersede: plan.supersede });
}

async function planKeep(): Promise<void> {
  plan = await keepDialog.open(plan, screen.title);
  tell(`The next capture is kept as ${plan.measurement ?? screen.measurement}${plan.seconds ? `, ${plan.seconds} s` : ""}${plan.supersede ? "" : ", beside an earlier one"}.`);
}

async function couldNotRun(): Promise<void> {
  const reason = await ask.open("Could not run", `Why ${screen.title.toLowerCase()} could not be measured, ${conditionText(Boolean(screen.signal))}, as found (such as: belt turned to tar)`);
  if (!reason?.trim()) return;
  link.send({ do: "unmeasured", measurement: screen.measurement, mark: "as-found", reason });
  tell(`Written down: could not run, ${reason.trim()}.`);
}

function toggleReadings(): void {
  if (panel.isOpen) panel.hide();
  else if (link.last?.keep?.readings) panel.show(`Kept: ${link.last.keep.measurement}`, link.last.keep.readings, link.last.keep.notes ?? []);
  else tell("Nothing was kept yet: K keeps as left, J as found.");
}

function practise(tape: string): void {
  microphone.close();
  lost = "";
  link.send({ do: "practice", tape, signal: screen.signal && tape === "record" ? screen.signal : undefined });
  tell("The practice deck plays.");
}

/** Whatever could record warns first: the deck in record would put what is sent over a test tape. */
function sendOrStop(): void {
  if (link.last?.sending) {
    link.send({ do: "silence" });
    return;
  }
  if (choice.tape && link.last?.source !== "practice") {
    tell(`✗ ${choice.tapeName} is threaded, as far as the bench knows: nothing is sent, a deck in record would put it over the tape. Take it off, thread blank tape, then press X.`);
    return;
  }
  link.send({ do: "send", signal: screen.signal, level: choice.outputDb });
}

function tapeOff(): void {
  tell(`${choice.tapeName} is off the deck.`);
  save({ tape: "", tapeName: "" });
  chooseDeck();
  showKeys();
}

function nextCondition(): void {
  const speed = choice.speeds.indexOf(choice.speed), setting = choice.settings.indexOf(choice.setting ?? "");
  if (screen.signal && choice.settings.length > 1 && setting < choice.settings.length - 1) save({ setting: choice.settings[setting + 1]! });
  else if (choice.direction === "forward" && choice.directions.includes("reverse")) save({ direction: "reverse", setting: choice.settings[0] ?? null });
  else save({ direction: choice.directions.includes("forward") ? "forward" : "reverse", speed: choice.speeds[(speed + 1) % choice.speeds.length]!, setting: choice.settings[0] ?? null });
  chooseDeck();
  tell(`Now ${conditionText(Boolean(screen.signal))}.`);
}

function chooseDeck(): void {
  if (isTablet) return;
  link.send({ do: "deck", job: choice.job, direction: choice.direction, speed: choice.speed, setting: choice.setting, tape: choice.tape, reference: choice.reference });
  tellScreen();
}

function tellScreen(): void { link.send({ do: "screen", screen: place.path.slice(1), adjustment: screen.adjustment }); }

/** Says something of this page; with a path, of the page that is gone to next. */
function tell(text: string, path: string = location.pathname): void {
  toldFor = path;
  say(said, text);
}

function go(path: string): void {
  history.pushState(null, "", path);
  show();
}

function openPages(): void {
  const dialog = el("dialog", { class: "panel", "aria-labelledby": "pages-title" }), list = el("div", { class: "choices pages" });
  const letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ".split("");
  const offers = PLACES.map((p): [string, Place] => [p.key ?? letters.shift()!, p]);
  for (const [key, to] of offers) {
    const button = keyButton(key, to.title, () => {
      dialog.close();
      go(to.path);
    });
    list.append(button);
  }
  dialog.append(el("h2", { id: "pages-title" }, "All pages"), list, el("p", {}, el("kbd", {}, "Esc"), " leaves it"));
  dialog.addEventListener("close", () => dialog.remove());
  dialog.addEventListener("keydown", (event) => {
    const offer = offers.find(([key]) => key === event.key.toUpperCase());
    if (!offer) return;
    event.preventDefault();
    event.stopPropagation();
    dialog.close();
    go(offer[1].path);
  });
  document.body.append(dialog);
  dialog.showModal();
}

function show(): void {
  screen?.leave?.();
  const at = placeAt(location.pathname);
  place = at ?? PLACES[0]!;
  // What was said of another page is not true of this one.
  if (toldFor !== location.pathname) say(said, at ? "" : `✗ There is nothing at ${location.pathname}; these are the decks.`);
  frame.hold = false;
  plan = usual;
  panel.hide();
  screen = place.make(frame, output);
  document.title = `${screen.title}, Spoolwright`;
  anchors.forEach((anchor) => (anchor.getAttribute("href") === place.path ? anchor.setAttribute("aria-current", "page") : anchor.removeAttribute("aria-current")));
  $("screen").replaceChildren(screen.root);
  showKeys();
  // What was sent for another screen is not what this one wants.
  const sending = link.last?.sending;
  if (sending && sending.name !== screen.signal && link.last?.source === "microphone" && sends) link.send({ do: "silence" });
  if (sending && screen.signal && screen.adjustment && sending.name !== screen.signal && link.last?.source === "practice") link.send({ do: "send", signal: screen.signal });
  if (link.isOpen) chooseDeckIfChanged();
  tellScreen();
}

function showKeys(): void {
  $("keys").replaceChildren(...[...screen.keys, ...common()].filter((k) => k.label).map((k) => keyButton(k.key, k.label, k.press)));
}

// A screen is left and come back to without what was heard and turned being forgotten; another condition is another deck to the meters.
function chooseDeckIfChanged(): void {
  const bench = link.last?.bench;
  if (!bench || bench.job !== choice.job || bench.direction !== choice.direction || bench.speed !== choice.speed || (choice.setting !== null && bench.setting !== choice.setting)) chooseDeck();
}

function showFrame(picture: Picture): void {
  const source = { none: "no input: press I", microphone: "input", practice: "practice deck" }[picture.source] ?? picture.source;
  say(inputLine, picture.input ? `${source}, ${(picture.input.rate / 1000).toFixed(1)} kHz` : source);
  const bench = picture.bench;
  say(deckLine, `${bench?.deck || choice.deck || "no deck chosen"}; ${bench ? `${bench.direction}, ${bench.speed} cm/s${screen.signal && bench.setting ? `, ${bench.setting}` : ""}` : conditionText(false)}${bench?.tape ? `; test tape ${bench.tape} threaded` : ""}`);
  levelLeft.value = picture.input?.peakLeft ?? -60;
  levelRight.value = picture.input?.peakRight ?? -60;
  const wrong = picture.problem ?? (picture.source === "none" && lost ? lost : picture.input?.notes[0]?.text ?? (picture.lostBlocks > 0 ? `Sound was lost between browser and bench ${picture.lostBlocks} times.` : ""));
  warning.hidden = wrong === "";
  say(warning, wrong && `! ${wrong}`);
  showSending(picture);
  keepLine.hidden = !picture.keep;
  if (picture.keep) say(keepLine, keepText(picture.keep));
  if (picture.keep?.state === "done" && picture.keep.sha256 !== shownKeep) {
    shownKeep = picture.keep.sha256 ?? "";
    panel.show(`Kept: ${picture.keep.measurement}`, picture.keep.readings ?? [], picture.keep.notes ?? []);
  }
}

function showSending(picture: Picture): void {
  const real = picture.source === "microphone";
  if (!isTablet) {
    if (picture.check && !picture.check.done && sends !== "check") void output.once("check", choice.outputDb);
    if (!picture.check || picture.check.done) output.follow(real ? picture.sending : undefined);
  }
  sends = picture.check && !picture.check.done ? "check" : picture.sending?.name;
  sendLine.hidden = !picture.sending;
  if (picture.sending) say(sendLine, `▸ ${real ? "Sending" : "Sent to the practice deck"}: ${picture.sending.program ? `the program ${picture.sending.name}, when it is kept` : picture.sending.tones.map((t) => `${t.hz} Hz at ${signed(t.db, 0)} dB`).join(", ")}. S stops it.`);
}

function keepText(keep: NonNullable<Picture["keep"]>): string {
  switch (keep.state) {
    case "waiting": return "Keeping: waiting for the tone …";
    case "recording": return `Keeping: ${keep.seconds.toFixed(0)} of ${keep.wanted.toFixed(0)} s; the same key ends it sooner`;
    case "measuring": return `Kept; measuring, ${(100 * keep.progress).toFixed(0)} %`;
    case "done": return `✓ ${keep.text}`;
    default: return `✗ ${keep.text ?? "not kept"}`;
  }
}

document.addEventListener("keydown", (event) => {
  const target = event.target as HTMLElement;
  const typing = target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement;
  if (typing && event.key === "Escape") target.blur();
  // A browser takes a form by Enter from a line of text, not from a list of choices; here the key at the form's button says so for both.
  if (target instanceof HTMLSelectElement && event.key === "Enter" && target.form && !event.defaultPrevented) {
    event.preventDefault();
    target.form.requestSubmit();
    return;
  }
  if (typing || event.ctrlKey || event.altKey || event.metaKey || document.querySelector("dialog[open]")) return;
  if (event.key === "Escape") panel.hide();
  const key = (event.shiftKey && event.key.startsWith("Arrow") ? "Shift+" : "") + (event.key.length === 1 ? event.key.toUpperCase() : event.key);
  const to = PLACES.find((p) => p.key === key);
  const offer = [...screen.keys, ...common()].find((k) => k.key === key);
  if (!to && !offer) return;
  event.preventDefault();
  if (offer) offer.press();
  else go(to!.path);
});

window.addEventListener("popstate", show);
let waiting: Picture | null = null;
const painted = new MessageChannel();
let paintedPicture: Picture | null = null;
painted.port1.onmessage = () => { if (paintedPicture) link.painted(paintedPicture); };
link.onPicture((picture) => {
  if (!waiting) requestAnimationFrame(() => {
    const newest = waiting!;
    waiting = null;
    showFrame(newest);
    screen.show?.(newest);
    // A message posted from a frame arrives after that frame was painted.
    paintedPicture = newest;
    painted.port2.postMessage(null);
  });
  waiting = picture;
});
link.onOpen(() => {
  chooseDeck();
  tellScreen();
  if (microphone.isOpen) void input.choose(Microphone.remembered);
});
// What goes out, for whoever looks after the bench: peak in dBFS, null where nothing is sent.
(window as unknown as { benchOutput: () => number | null }).benchOutput = () => output.peakDb;
show();
link.open();
