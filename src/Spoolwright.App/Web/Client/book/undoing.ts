/** What these pages wrote, to be undone and done again by one key each. It holds through a reload of the page, as long as its tab stays open. */

import { write, type Made, type Written } from "./calls";

interface Step { said: string; entries: Made[] }

const KEPT = "book-steps", MOST = 50;

function load(): { done: Step[]; undone: Step[] } {
  try {
    return JSON.parse(sessionStorage.getItem(KEPT) ?? "") as { done: Step[]; undone: Step[] };
  } catch {
    return { done: [], undone: [] };
  }
}

const steps = load();

const keep = (): void => sessionStorage.setItem(KEPT, JSON.stringify({ done: steps.done.slice(-MOST), undone: steps.undone.slice(-MOST) }));

const entriesOf = (written: Written): Made[] => (written.act ? [{ table: "act", id: written.act }] : written.entries);

/** Remembers what was written. */
export function wrote(written: Written): void {
  const entries = entriesOf(written);
  if (entries.length === 0) return;
  steps.done.push({ said: written.said, entries });
  steps.undone.length = 0;
  keep();
}

/** Undoes the last thing that was written here; says what came of it. */
export const undo = (): Promise<string> => back(steps.done, steps.undone, "Undone", "Y does it again.", "Nothing was written from this page yet. G, then Lately, undoes what was written elsewhere.");

/** Does again what was undone last. */
export const redo = (): Promise<string> => back(steps.undone, steps.done, "Done again", "Z undoes it.", "Nothing was undone.");

async function back(from: Step[], to: Step[], word: string, then: string, nothing: string): Promise<string> {
  const step = from.pop();
  if (!step) return nothing;
  const made: Made[] = [];
  for (const entry of [...step.entries].reverse()) {
    const written = await write("/api/book/book/undo", { table: entry.table, id: entry.id });
    if (written.problem) {
      keep();
      return `✗ Not undone: ${written.problem}`;
    }
    made.unshift(...entriesOf(written));
  }
  to.push({ said: step.said, entries: made });
  keep();
  return `${word}: ${step.said.replace(/\.$/, "")}. ${then}`;
}
