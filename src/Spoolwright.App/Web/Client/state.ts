/** What the person has chosen, kept over reloads. */

export interface Choice {
  job: string | null; direction: "forward" | "reverse"; speed: number; setting: string | null; deck: string; speeds: number[]; directions: string[]; settings: string[];
  tape: string; tapeName: string; gauge: string; gaugeName: string; outputDb: number; reference: number | null; priors: string;
}

const KEY = "bench";

export const choice: Choice = load();

/** Whether this page is a paired tablet's: it shows what the page on the bench's own machine hears. */
export const isTablet = !["127.0.0.1", "localhost", "[::1]"].includes(location.hostname);

function load(): Choice {
  const plain: Choice = {
    job: null, direction: "forward", speed: 19.05, setting: null, deck: "", speeds: [9.525, 19.05], directions: ["forward", "reverse"], settings: [],
    tape: "", tapeName: "", gauge: "", gaugeName: "", outputDb: -12, reference: null, priors: "",
  };
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

export const conditionText = (withSetting: boolean): string => `${choice.direction}, ${choice.speed} cm/s${withSetting && choice.setting ? `, ${choice.setting}` : ""}`;
