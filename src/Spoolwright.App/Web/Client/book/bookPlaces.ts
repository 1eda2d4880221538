/** Where the pages of the service book lie. */

import type { Place } from "../places";
import { causePriors, CausesScreen, symptoms } from "./causesScreen";
import { JobScreen } from "./jobScreen";
import { SearchScreen } from "./searchScreen";
import * as handover from "./handover";
import * as pages from "./pages";

/** Reached through G. */
export const BOOK_PLACES: Place[] = [
  { path: "/book/decks", title: "Decks and jobs", make: pages.decks },
  { path: "/book/search", title: "Search", make: (f) => new SearchScreen(f) },
  { path: "/book/offers", title: "Offers", make: pages.offers },
  { path: "/book/parts", title: "Parts and supplies", make: pages.parts },
  { path: "/book/instruments", title: "Instruments", make: pages.instruments },
  { path: "/book/kinds", title: "Decks side by side", make: pages.kinds },
  { path: "/book/symptoms", title: "What you see and hear", make: symptoms },
  { path: "/book/causes", title: "How often causes are met", make: causePriors },
  { path: "/book/lately", title: "Lately, and undo", make: pages.lately },
  { path: "/book/plans", title: "Plans and profiles", make: pages.plans },
  { path: "/book/shop", title: "The shop", make: pages.shop },
  { path: "/book/tables", title: "Every table", make: pages.tables },
];

const ID = /^[0-9a-f-]{36}$/;

/** The page at an address under /book; null: none. */
export function bookPlaceAt(path: string): Place | null {
  const [, book, kind, id = ""] = path.split("/");
  if (book !== "book") return null;
  const named = ((): string => {
    try {
      return decodeURIComponent(id);
    } catch {
      return id;
    }
  })();
  const at = (title: string, make: Place["make"]): Place => ({ path, title, make });
  if (kind === "lot" && id) return at("Lot", (f) => pages.lot(f, named));
  if (kind === "field" && id) return at("Decks side by side", (f) => pages.field(f, named));
  if (!ID.test(id)) return BOOK_PLACES.find((p) => p.path === path) ?? null;
  switch (kind) {
    case "job": return at("Job", (f) => new JobScreen(f, id));
    case "ails": return at("What ails the deck", (f) => new CausesScreen(f, id));
    case "deck": return at("Deck", (f) => pages.deck(f, id));
    case "offer": return at("Offer", (f) => pages.offer(f, id));
    case "instrument": return at("Instrument", (f) => pages.instrument(f, id));
    case "money": return at("Money and parts", (f) => pages.money(f, id));
    case "photos": return at("Photos", (f) => pages.photos(f, id));
    case "signing": return at("Signing off", (f) => handover.signing(f, id));
    case "aftercare": return at("Aftercare", (f) => handover.aftercare(f, id));
    case "listing": return at("Listing", (f) => pages.listing(f, id));
    default: return null;
  }
}
