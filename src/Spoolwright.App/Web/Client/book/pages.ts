/** The pages of the service book beside job and search: what each shows above its tables, and what its keys write. */

import { el } from "../dom";
import type { Frame, Screen } from "../screen";
import { BookScreen } from "./bookScreen";
import { asked, send, type Page } from "./calls";
import { Form, type Field } from "./form";

const DAY = "today, yesterday, monday, 14 mar, 14.3., 2026-03-14";
const day = (name: string, label: string): Field => ({ name, label, hint: DAY });
const KNOWN: Field[] = [
  { name: "works", label: "Does it run?", kind: "select", options: ["", "yes", "partly", "no"] },
  { name: "handled", label: "Who had it in hand before?", kind: "select", options: ["", "untouched", "lubricated", "repaired"] },
  { name: "missing", label: "What is missing", hint: "nothing, where it is complete; left empty, where it is not known" },
  ...["heads", "motors", "case", "electronics"].map((name): Field => ({ name, label: name[0]!.toUpperCase() + name.slice(1), kind: "select", options: ["", "good", "worn", "bad", "missing"] })),
];

const COSTS = ["deck", "freight", "part", "fee", "other"];

interface WithWords extends Page { profiles?: string[]; kinds?: string[]; supplies?: string[] }

export const decks = (frame: Frame): Screen => new BookScreen<WithWords>(frame, "Decks", "/api/book/decks", (s) => [
  { key: "A", label: "take a deck in", press: () => s.fill("Take a deck in", "take it in", "/api/book/decks/take-in", [{ name: "serial", label: "Serial number, as stamped on it", need: true }, { name: "profile", label: "Kind of deck", options: s.data?.profiles ?? [] }, { name: "file", label: "or its profile's file", kind: "file" }, { name: "description", label: "What it is, in a line" }, { name: "owner", label: "Whose it is" }, day("since", "Since when")]) },
]);

export const deck = (frame: Frame, id: string): Screen => new BookScreen(frame, "Deck", `/api/book/deck/${id}`, (s) => [
  { key: "A", label: "open a job", press: () => s.fill("Open a job", "open it", `/api/book/deck/${id}/open`, [{ name: "what", label: "What is to be done", need: true }, day("day", "When it began")], {}, "Its plan and its function checks are laid out.") },
  { key: "W", label: "new owner", press: () => s.fill("Whose the deck is", "write it down", `/api/book/deck/${id}/owner`, [{ name: "name", label: "Name", need: true }, day("since", "Since when"), { name: "contact", label: "How to reach them" }], {}, "Earlier owners stay.") },
  { key: "E", label: "correct an owner", press: () => s.withRow("owners", "an owner", (row) => {
    const [since, name, contact] = s.rowCells();
    s.fill("Correct the owner", "so it is", `/api/book/deck/${id}/correct-owner`, [{ name: "name", label: "Name", need: true, value: name! }, { ...day("since", "Since when"), value: since! }, { name: "contact", label: "How to reach them", value: contact! }], { owner: row }, "The earlier entry stays in the book.");
  }) },
  { key: "B", label: "take an owner back", press: () => s.withRow("owners", "an owner", (row) => s.fill(`Take ${s.rowCells()[1]} back`, "take it back", `/api/book/deck/${id}/take-back-owner`, [{ name: "why", label: "Why", need: true }], { owner: row }, "The entry stays in the book.")) },
]);

export const offers = (frame: Frame): Screen => new BookScreen<WithWords>(frame, "Offers", "/api/book/offers", (s) => [
  { key: "A", label: "add an offer", press: () => s.fill("An offer", "write it down", "/api/book/offers/add", [{ name: "profile", label: "Kind of deck", need: true, options: s.data?.profiles ?? [] }, { name: "asked", label: "Asked", need: true, hint: "180, 180 EUR" }, { name: "seller", label: "Who offers it", need: true }, { name: "serial", label: "Serial number" }, ...KNOWN, day("day", "When"), { name: "remark", label: "Remark" }], {}, "What is not said is not known, and stands among the questions.") },
  { key: "F", label: "price fetched elsewhere", press: () => s.fill("A price fetched elsewhere", "write it down", "/api/book/offers/price", [{ name: "profile", label: "Kind of deck", need: true, options: s.data?.profiles ?? [] }, { name: "price", label: "Price", need: true }, { name: "where", label: "Where it was seen", need: true }, day("day", "When")]) },
]);

export const offer = (frame: Frame, id: string): Screen => new BookScreen(frame, "Offer", `/api/book/offer/${id}${location.search}`, (s) => [
  ...((s.data?.warnings.length ?? 0) === 0 && !location.search ? [] : [{ key: "W", label: "what parts would cost", press: () => void frame.ask("Weigh with parts of", "What its parts would cost, where no closed job of its kind tells; empty: as the book has it", new URLSearchParams(location.search).get("parts") ?? "").then((typed) => {
    if (typed !== null) frame.go(`/book/offer/${id}${typed.trim() ? `?parts=${encodeURIComponent(typed.trim())}` : ""}`);
  }) }]),
  { key: "L", label: "more is known", press: () => s.fill("What is known now", "write it down", `/api/book/offer/${id}/learn`, [...KNOWN, { name: "asked", label: "Asked now" }, { name: "remark", label: "Remark" }], {}, "What is left empty stays as it is.") },
  { key: "E", label: "decide", press: () => s.fill("What became of it", "so it is", `/api/book/offer/${id}/decide`, [{ name: "decision", label: "It was", kind: "select", options: ["bought", "declined", "open"] }, { name: "job", label: "The job that came of it", hint: "its number, or the deck's serial number" }, { name: "remark", label: "Remark" }]) },
]);

export const parts = (frame: Frame): Screen => new BookScreen<WithWords>(frame, "Parts", "/api/book/parts", (s) => {
  const supply = (): string | undefined => s.rowId("stock") ?? s.rowId("lots")?.split("\n")[0];
  const named: Field = { name: "supply", label: "Supply", need: true, options: s.data?.tables[0]?.rows.map((r) => String(r.cells[0])) ?? [], ...(supply() ? { value: supply()! } : {}) };
  return [
    { key: "A", label: "keep a new supply", press: () => s.fill("A supply that the shop keeps", "keep it", "/api/book/parts/keep", [{ name: "name", label: "Name", need: true }, { name: "kind", label: "Kind", kind: "select", options: s.data?.kinds ?? [] }, { name: "unit", label: "Counted in", need: true, value: "piece" }, { name: "reorder", label: "Order again at", value: "1" }, { name: "remark", label: "Remark" }]) },
    { key: "R", label: "delivery", press: () => s.fill("A delivery", "take it in", "/api/book/parts/receive", [named, { name: "supplier", label: "From whom", need: true }, { name: "number", label: "Lot number", need: true }, { name: "quantity", label: "How much", need: true }, { name: "price", label: "Price of one" }, day("day", "When"), { name: "remark", label: "Remark" }]) },
    { key: "C", label: "count a lot", press: () => s.withRow("lots", "a lot", (row) => s.fill("What lies there", "so it is", "/api/book/parts/count", [{ name: "counted", label: "Counted", need: true }], { supply: row.split("\n")[0], lot: row.split("\n")[1] }, "The difference is written down.")) },
    { key: "B", label: "doubt a lot", press: () => s.withRow("lots", "a lot", (row) => s.fill(`Doubt lot ${row.split("\n")[1]}`, "doubt it", "/api/book/parts/doubt", [{ name: "why", label: "What is wrong with it", need: true }], { lot: row.split("\n")[1] }, "Nothing more is taken from it; where it went is listed.")) },
  ];
});

export const lot = (frame: Frame, number: string): Screen => new BookScreen(frame, "Lot", `/api/book/lot/${encodeURIComponent(number)}`, (s) => [
  { key: "B", label: "doubt it", press: () => s.fill(`Doubt lot ${number}`, "doubt it", "/api/book/parts/doubt", [{ name: "why", label: "What is wrong with it", need: true }], { lot: number }) },
]);

export const instruments = (frame: Frame): Screen => new BookScreen(frame, "Instruments", "/api/book/instruments", (s) => [
  { key: "A", label: "keep an instrument", press: () => s.fill("An instrument", "keep it", "/api/book/instruments/keep", [{ name: "kind", label: "Kind", need: true, options: ["test-tape", "tension-gauge", "audio-interface", "stopwatch"] }, { name: "name", label: "Name, as readings are filed with it", need: true }, { name: "serial", label: "Serial number" }, { name: "certificate", label: "Certificate, in a line" }, { name: "since", label: "Holds since" }, { name: "due", label: "Due again", hint: "2027-03-01" }, { name: "played", label: "Plays before this book counted" }, { name: "most", label: "Plays after which it is not trusted" }, { name: "file", label: "Its file: a test tape's leaflet, a gauge's weights", kind: "file" }]) },
]);

export const instrument = (frame: Frame, id: string): Screen => new BookScreen<WithWords>(frame, "Instrument", `/api/book/instrument/${id}`, (s) => [
  { key: "N", label: "what happened to it", press: () => s.fill("What happened to it", "write it down", `/api/book/instrument/${id}/note`, [{ name: "kind", label: "It was", kind: "select", options: s.data?.kinds ?? [], value: "doubt" }, { name: "what", label: "In words", need: true }, { ...day("since", "Since when"), hint: `${DAY}; a doubt may reach back` }, { name: "due", label: "For a calibration: until when" }]) },
]);

export const money = (frame: Frame, id: string): Screen => new BookScreen<WithWords>(frame, "Money and parts", `/api/book/money/${id}`, (s) => [
  { key: "A", label: "fit a part", press: () => s.fill("A part fitted", "write it down", `/api/book/job/${id}/fit`, [{ name: "supply", label: "Supply", need: true, options: s.data?.supplies ?? [] }, { name: "quantity", label: "How much", value: "1", need: true }, { name: "place", label: "Where", need: true }, { name: "lot", label: "Lot", hint: "left empty: the oldest that holds enough" }, day("day", "When")]) },
  { key: "C", label: "cost", press: () => s.fill("A cost", "write it down", `/api/book/job/${id}/cost`, [{ name: "amount", label: "How much", need: true }, { name: "what", label: "For what", need: true }, { name: "kind", label: "Kind", kind: "select", options: COSTS, value: "other" }, day("day", "When")], {}, "Parts from stock count by themselves.") },
  { key: "E", label: "correct a cost", press: () => s.withRow("costs", "a cost", (row) => {
    const [on, kind, amount, what] = s.rowCells();
    s.fill("Correct the cost", "so it is", `/api/book/job/${id}/correct-cost`, [{ name: "amount", label: "How much", need: true, value: amount! }, { name: "what", label: "For what", need: true, value: what! }, { name: "kind", label: "Kind", kind: "select", options: COSTS, value: kind! }, { ...day("day", "When"), value: on! }], { cost: row }, "The earlier entry stays in the book.");
  }) },
  { key: "B", label: "take a cost back", press: () => s.withRow("costs", "a cost", (row) => s.fill(`Take ${s.rowCells()[2]} back`, "take it back", `/api/book/job/${id}/take-back-cost`, [{ name: "why", label: "Why", need: true }], { cost: row }, "The entry stays in the book.")) },
  { key: "S", label: "sold", press: () => s.fill("The deck is sold", "it is", `/api/book/job/${id}/sold`, [{ name: "price", label: "Price", need: true }, { name: "buyer", label: "Buyer", need: true }, day("day", "When"), { name: "months", label: "Months of warranty", hint: "left empty: the shop's own" }, { name: "terms", label: "What it covers" }], {}, "The buyer becomes the deck's owner.") },
]);

interface PhotoData extends Page { photos: { assembly: string; mark: string; caption: string | null; src: string }[] }

export const photos = (frame: Frame, id: string): Screen => new BookScreen<PhotoData>(frame, "Photos", `/api/book/photos/${id}`, (s) => [
  { key: "A", label: "add photos", press: () => addPhotos(s, id) },
], (page) => [el("div", { class: "photos" }, ...page.photos.map((p) => el("figure", {}, el("img", { src: p.src, alt: `${p.assembly}, ${p.mark}${p.caption ? `: ${p.caption}` : ""}`, loading: "lazy" }), el("figcaption", {}, `${p.assembly}, ${p.mark}${p.caption ? `: ${p.caption}` : ""}`))))]);

let photoForm: Form | null = null;

function addPhotos(screen: BookScreen<PhotoData>, job: string): void {
  photoForm ??= new Form();
  photoForm.open("Photos of one assembly", "take them in", [{ name: "assembly", label: "What is seen", need: true }, { name: "mark", label: "When", kind: "select", options: ["as-found", "first-run", "as-left"] }, { name: "caption", label: "Caption" }, { name: "photos", label: "Pictures: JPEG, PNG or WebP", kind: "file", need: true }], async (said) => {
    const files = [...(document.querySelector<HTMLInputElement>("#field-photos")?.files ?? [])];
    for (const file of files) {
      const refused = screen.took(await send(`/api/book/photo/${job}?${new URLSearchParams({ assembly: said["assembly"]!, mark: said["mark"]!, caption: said["caption"]! })}`, file));
      if (refused) return `${file.name}: ${refused}`;
    }
    return null;
  });
  const input = document.querySelector<HTMLInputElement>("#field-photos")!;
  input.accept = "image/jpeg,image/png,image/webp";
  input.multiple = true;
}

interface ListingData extends Page { text: string; ownTitle: string | null; ownWords: string | null; ownAsked: string | null; ownSample: string | null }

export const listing = (frame: Frame, id: string): Screen => new BookScreen<ListingData>(frame, "Listing", `/api/book/listing/${id}`, (s) => [
  { key: "E", label: "own words", press: () => s.fill("Words of your own", "keep them", `/api/book/job/${id}/listing`, [{ name: "title", label: "Title", need: true, value: s.data?.ownTitle ?? "" }, { name: "words", label: "Words", kind: "long", value: s.data?.ownWords ?? "" }, { name: "asked", label: "Price asked", value: s.data?.ownAsked ?? "" }, { name: "sample", label: "Where the sound sample is to be heard", value: s.data?.ownSample ?? "", hint: "https://shop.example/sample.html; spoolwright sample compare makes the page" }]) },
  { key: "K", label: "copy the text", press: () => void navigator.clipboard.writeText(s.data?.text ?? "").then(() => frame.tell("The listing is copied."), () => frame.tell("The browser did not allow copying; mark the text and copy it by hand.")) },
], (page) => [el("section", {}, el("h2", {}, "The text, to be pasted anywhere"), el("pre", { class: "paper", tabindex: "0" }, page.text))]);

export const kinds = (frame: Frame): Screen => new BookScreen(frame, "Kinds of deck", "/api/book/kinds");

interface FieldData extends Page { plots: string }

export const field = (frame: Frame, profile: string): Screen => new BookScreen<FieldData>(frame, "Decks side by side", `/api/book/field/${encodeURIComponent(profile)}${location.search}`, () => [], (page) => [plots(page.plots)]);

// Drawn after the tables stand, so that nobody waits for pictures to read figures.
function plots(address: string): HTMLElement {
  const place = el("div", { class: "plots" }, el("p", { class: "faint" }, "The plots are being drawn …"));
  void asked<{ plots: { says: string; src: string }[] }>(address).then((drawn) => {
    if (drawn.problem || drawn.plots.length === 0) place.replaceChildren(el("p", { class: "faint" }, drawn.problem ?? "There is nothing to draw yet: it takes two decks with the same quantity."));
    else place.replaceChildren(...drawn.plots.map((p) => el("figure", {}, el("img", { src: p.src, alt: "" }), el("figcaption", {}, p.says))));
  });
  return el("section", { "aria-label": "Plots" }, el("h2", {}, "Spread, as found and as left"), el("p", { class: "faint" }, "Open circles: as found. Full circles: as left. A line joins the two of one deck. Upright rules are the profile's limits."), place);
}

export const lately = (frame: Frame): Screen => new BookScreen(frame, "Lately", "/api/book/lately", (s) => [
  { key: "U", label: "undo the one chosen", press: () => {
    const row = s.rowId();
    if (!row) frame.tell("Choose what is to be undone first: ↑ and ↓ go from row to row.");
    else void s.write("/api/book/book/undo", { table: row.split("/")[0], id: row.split("/")[1] });
  } },
]);

export const plans = (frame: Frame): Screen => new BookScreen(frame, "Plans and profiles", "/api/book/plans", (s) => [
  { key: "A", label: "take a plan's file in", press: () => s.fill("A plan's file", "keep it", "/api/book/book/keep-plan", [{ name: "file", label: "File", kind: "file", need: true }], {}, "A plan of the same name is superseded; jobs laid out by it stay as they are.") },
  { key: "F", label: "take a profile's file in", press: () => s.fill("A profile's file", "keep it", "/api/book/book/keep-profile", [{ name: "file", label: "File", kind: "file", need: true }], {}, "A profile of the same name is superseded; decks keep theirs.") },
  { key: "C", label: "copy the one chosen", press: () => {
    const plan = s.rowId("plans"), profile = s.rowId("profiles");
    if (!plan && !profile) frame.tell("Choose a plan or a profile first: ↑ and ↓ go from row to row.");
    else s.fill(`Copy ${plan ?? profile}`, "copy it", plan ? "/api/book/book/copy-plan" : "/api/book/book/copy-profile", [{ name: "name", label: "The copy's name", need: true }], { from: plan ?? profile });
  } },
]);

interface ShopData extends Page { name: string; place: string | null; currency: string; zone: string; hourly: string | null; months: string; terms: string | null }

export const shop = (frame: Frame): Screen => new BookScreen<ShopData>(frame, "Shop", "/api/book/shop", (s) => [
  { key: "E", label: "change", press: () => s.fill("The shop", "so be it", "/api/book/book/shop", [
    { name: "name", label: "Name", need: true, value: s.data?.name ?? "" }, { name: "place", label: "Place", value: s.data?.place ?? "" }, { name: "currency", label: "Currency", need: true, value: s.data?.currency ?? "" }, { name: "zone", label: "Time zone", need: true, value: s.data?.zone ?? "", hint: "Europe/Dublin, UTC" },
    { name: "hourly", label: "An hour should bring", value: s.data?.hourly ?? "" }, { name: "months", label: "Months of warranty", value: s.data?.months ?? "" }, { name: "terms", label: "What it covers", kind: "long", value: s.data?.terms ?? "" }]) },
]);

export const tables = (frame: Frame): Screen => new BookScreen(frame, "Tables", "/api/book/tables");
