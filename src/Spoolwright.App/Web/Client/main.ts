/** The frame around the screens: addresses, keys, what stands at top and bottom. */

import { Link, type Picture } from "./link";
import { Guide } from "./guide";
import type { Frame, KeyOffer, Screen } from "./screen";
import { AzimuthScreen } from "./azimuthScreen";
import { LevelScreen } from "./levelScreen";
import { SpeedScreen } from "./speedScreen";
import { HomeScreen } from "./homeScreen";
import { MatrixScreen } from "./matrixScreen";
import { Drop } from "./drop";
import { InputDialog } from "./inputDialog";
import { Microphone } from "./sound";
import { choice, conditionText, save } from "./state";
import { el, keyButton, say } from "./dom";

const PLACES: [string, string, (frame: Frame) => Screen][] = [
  ["/", "Decks", (f) => new HomeScreen(f)],
  ["/matrix", "Matrix", (f) => new MatrixScreen(f)],
  ["/azimuth", "Azimuth", (f) => new AzimuthScreen(f)],
  ["/level", "Level", (f) => new LevelScreen(f)],
  ["/speed", "Speed", (f) => new SpeedScreen(f)],
];
const TAPES: Record<string, string> = { azimuth: "azimuth", playback: "levels", speed: "speed" };

const $ = (id: string): HTMLElement => document.getElementById(id)!;
const link = new Link();
const guide = new Guide();
const said = $("said");
const frame: Frame = { link, guide, tell, go, hold: false };
const microphone = new Microphone(link, (why) => {
  link.send({ do: "stop" });
  tell(why);
});
let screen: Screen;
const input = new InputDialog(frame, microphone, practise);
new Drop(frame, () => screen.measurement ?? "speed");

const deckLine = el("span", { class: "deck" }), inputLine = el("span", { class: "input", "data-test": "input" }), keepLine = el("div", { class: "keepline", "data-test": "keep", hidden: "" }), warning = el("div", { class: "warning", role: "alert", hidden: "" });
const levelLeft = el("meter", { min: "-60", max: "0", high: "-3", low: "-50", optimum: "-12", "aria-label": "Peak left" }), levelRight = el("meter", { min: "-60", max: "0", high: "-3", low: "-50", optimum: "-12", "aria-label": "Peak right" });
const places = PLACES.map(([path, title], i) => {
  const anchor = el("a", { href: path }, el("kbd", {}, String(i + 1)), " ", title);
  anchor.addEventListener("click", (event) => {
    event.preventDefault();
    go(path);
  });
  return anchor;
});
$("top").append(el("nav", { "aria-label": "Screens" }, ...places), el("div", { class: "lines" }, deckLine, el("span", { class: "meters" }, levelLeft, levelRight), inputLine), warning, keepLine);

function common(): KeyOffer[] {
  const offers: KeyOffer[] = [
    { key: "I", label: "input", press: () => void input.open() },
    { key: "P", label: "practice deck", press: () => practise(TAPES[screen.measurement ?? ""] ?? "azimuth") },
  ];
  if (screen.measurement) {
    offers.push(
      { key: "C", label: "next condition", press: nextCondition },
      { key: "H", label: "hold", press: () => { frame.hold = !frame.hold; tell(frame.hold ? "Held: press H to go on." : "Going on."); } },
      { key: "J", label: "keep as found", press: () => keep("as-found") },
      { key: "K", label: "keep as left", press: () => keep("as-left") },
      { key: "M", label: "guide tone", press: () => tell(guide.toggle() ? "Guide tone on: it rises as the target nears." : "Guide tone off.") },
    );
  }
  return offers;
}

function keep(mark: string): void { link.send({ do: "keep", measurement: screen.measurement, mark }); }

function practise(tape: string): void {
  microphone.close();
  link.send({ do: "practice", tape });
  tell("The practice deck plays.");
}

function nextCondition(): void {
  const at = choice.speeds.indexOf(choice.speed);
  if (choice.direction === "forward" && choice.directions.includes("reverse")) save({ direction: "reverse" });
  else save({ direction: "forward", speed: choice.speeds[(at + 1) % choice.speeds.length]! });
  chooseDeck();
  tell(`Now ${conditionText()}.`);
}

function chooseDeck(): void {
  link.send({ do: "deck", job: choice.job, direction: choice.direction, speed: choice.speed, tape: choice.tape });
  say(deckLine, `${choice.deck || "no deck chosen"}; ${conditionText()}`);
}

function tell(text: string): void { say(said, text); }

function go(path: string): void {
  history.pushState(null, "", path);
  show();
}

function show(): void {
  screen?.leave?.();
  const at = Math.max(0, PLACES.findIndex(([path]) => path === location.pathname));
  frame.hold = false;
  screen = PLACES[at]![2](frame);
  document.title = `${screen.title}, Spoolwright`;
  places.forEach((anchor, i) => (i === at ? anchor.setAttribute("aria-current", "page") : anchor.removeAttribute("aria-current")));
  $("screen").replaceChildren(screen.root);
  $("keys").replaceChildren(...[...screen.keys, ...common()].filter((k) => k.label).map((k) => keyButton(k.key, k.label, k.press)));
  link.send({ do: "screen", screen: location.pathname.slice(1) });
  chooseDeckOnceOpen();
}

function chooseDeckOnceOpen(): void { if (link.isOpen) chooseDeck(); }

function showFrame(picture: Picture): void {
  const source = { none: "no input: press I", microphone: "input", practice: "practice deck" }[picture.source] ?? picture.source;
  say(inputLine, picture.input ? `${source}, ${(picture.input.rate / 1000).toFixed(1)} kHz` : source);
  levelLeft.value = picture.input?.peakLeft ?? -60;
  levelRight.value = picture.input?.peakRight ?? -60;
  const wrong = picture.problem ?? picture.input?.notes[0]?.text ?? (picture.lostBlocks > 0 ? `Sound was lost between browser and bench ${picture.lostBlocks} times.` : "");
  warning.hidden = wrong === "";
  say(warning, wrong && `! ${wrong}`);
  keepLine.hidden = !picture.keep;
  if (picture.keep) say(keepLine, keepText(picture.keep));
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
  const typing = event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement;
  if (typing && event.key === "Escape") (event.target as HTMLElement).blur();
  if (typing || event.ctrlKey || event.altKey || event.metaKey || document.querySelector("dialog[open]")) return;
  const place = PLACES[Number(event.key) - 1];
  const key = (event.shiftKey && event.key.startsWith("Arrow") ? "Shift+" : "") + (event.key.length === 1 ? event.key.toUpperCase() : event.key);
  const offer = [...screen.keys, ...common()].find((k) => k.key === key);
  if (!place && !offer) return;
  event.preventDefault();
  if (place) go(place[0]);
  else offer!.press();
});

window.addEventListener("popstate", show);
let waiting: Picture | null = null;
link.onPicture((picture) => {
  if (!waiting) requestAnimationFrame(() => {
    const newest = waiting!;
    waiting = null;
    showFrame(newest);
    screen.show?.(newest);
  });
  waiting = picture;
});
link.onOpen(() => {
  link.send({ do: "screen", screen: location.pathname.slice(1) });
  chooseDeck();
  if (microphone.isOpen) void input.choose(Microphone.remembered);
});
show();
link.open();
