/** What the person has chosen, kept over reloads. */

export interface Choice { job: string | null; direction: "forward" | "reverse"; speed: number; deck: string; speeds: number[]; directions: string[]; tape: string; tapeName: string }

const KEY = "bench";

export const choice: Choice = load();

function load(): Choice {
  const plain: Choice = { job: null, direction: "forward", speed: 19.05, deck: "", speeds: [9.525, 19.05], directions: ["forward", "reverse"], tape: "", tapeName: "" };
  try {
    return { ...plain, ...(JSON.parse(localStorage.getItem(KEY) ?? "{}") as Partial<Choice>) };
  } catch {
    return plain;
  }
}

export function save(change: Partial<Choice>): void {
  Object.assign(choice, change);
  localStorage.setItem(KEY, JSON.stringify(choice));
}

export const conditionText = (): string => `${choice.direction}, ${choice.speed} cm/s`;
