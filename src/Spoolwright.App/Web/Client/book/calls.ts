/** What the pages of the service book ask of the server, and what they write. */

export interface Column { head: string; kind: "text" | "figures" | "state" }
export type Cell = string | number | boolean | null;
export interface Row { id: string | null; to: string | null; cells: Cell[] }
export interface Table { id: string; title: string; empty: string; count: number; columns: Column[]; rows: Row[] }
export interface Page { title: string; lines: string[]; warnings: string[]; links: { text: string; to: string; apart: boolean }[]; tables: Table[]; problem?: string }
export interface Made { table: string; id: string }
export interface Written { said: string; to: string | null; act: string | null; entries: Made[]; problem?: string }

export async function asked<T>(address: string, again = true): Promise<T & { problem?: string }> {
  try {
    return (await (await fetch(address)).json()) as T & { problem?: string };
  } catch {
    // Asking changes nothing, so an answer that was cut off is asked for once more.
    if (again) return new Promise((done) => setTimeout(() => done(asked<T>(address, false)), 700));
    return { problem: "The bench does not answer; look whether it still runs." } as T & { problem: string };
  }
}

export async function write(address: string, said: Record<string, unknown>): Promise<Written> {
  return send(address, JSON.stringify(said));
}

export async function send(address: string, body: BodyInit): Promise<Written> {
  try {
    const answer = await fetch(address, { method: "POST", body });
    return (await answer.json()) as Written;
  } catch {
    return { said: "", to: null, act: null, entries: [], problem: "The bench does not answer; nothing was written as far as this page knows." };
  }
}
