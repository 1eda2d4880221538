/** Handing a deck over, and what comes after: signing the record, and later readings beside those as left. */

import type { Frame, Screen } from "../screen";
import { BookScreen } from "./bookScreen";

const KEY = "book-key-file";

// The key's place on the bench's computer is remembered in this browser; the key itself never comes here.
const keyFile = (): { name: string; label: string; need: boolean; value: string; hint: string } => ({ name: "key", label: "The key's file on the bench's computer", need: true, value: localStorage.getItem(KEY) ?? "", hint: "/home/me/shop-key.pem" });

const remember = (): void => {
  const typed = document.querySelector<HTMLInputElement>("#field-key")?.value;
  if (typed) localStorage.setItem(KEY, typed);
};

export const signing = (frame: Frame, id: string): Screen => new BookScreen(frame, "Signing off", `/api/book/signing/${id}`, (s) => [
  { key: "S", label: "sign", press: () => {
    if ((s.data?.tables.find((t) => t.id === "open-points")?.rows.length ?? 0) > 0) frame.tell("Something blocks it still: A accepts the point chosen, in words.");
    else s.fill("Sign the record", "sign it", `/api/book/signing/${id}/sign`, [keyFile(), { name: "folder", label: "Folder for record and sealed sheet", need: true, hint: "a folder on the bench's computer; made where it is not there" }], {}, "What is signed is the record as it stands now.");
    document.querySelector("#field-key")?.addEventListener("change", remember);
  } },
  { key: "A", label: "accept in words", press: () => s.withRow("open-points", "a point", (row) => s.fill(`Accept: ${s.rowCells()[1] ?? row}`, "accept it", `/api/book/job/${id}/accept`, [{ name: "words", label: "In words that the buyer reads", kind: "long", need: true }], { key: row }, "It stands in the record and in the listing.")) },
  { key: "F", label: "the key's fingerprint", press: () => {
    s.fill("The fingerprint of a key", "show it", `/api/book/signing/${id}/fingerprint`, [keyFile()], {}, "Give it to buyers by another way than the record, so that they can compare.");
    document.querySelector("#field-key")?.addEventListener("change", remember);
  } },
]);

export const aftercare = (frame: Frame, id: string): Screen => new BookScreen(frame, "Aftercare", `/api/book/aftercare/${id}`);
