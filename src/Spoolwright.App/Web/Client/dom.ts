/** Elements, built and told what to show. Text only ever goes in as text. */

type Child = Node | string | null | undefined;

export function el<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  attributes: Record<string, string> = {},
  ...children: Child[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  made.append(...children.filter((c): c is Node | string => c !== null && c !== undefined));
  return made;
}

/** Writes a text where it differs, so that nothing is laid out anew thirty times a second. */
export function say(where: Element, text: string): void {
  if (where.textContent !== text) where.textContent = text;
}

/** A button with its key printed on it. */
export function keyButton(key: string, label: string, press: () => void): HTMLButtonElement {
  const button = el("button", { type: "button", class: "key" }, el("kbd", {}, key), " ", label);
  button.addEventListener("click", () => {
    press();
    button.blur();
  });
  return button;
}

export const signed = (value: number, digits: number): string => {
  const text = Math.abs(value).toFixed(digits);
  if (Number(text) === 0) return text;
  return (value < 0 ? "−" : "+") + text;
};

export const hertz = (hz: number): string => (hz >= 1000 ? `${+(hz / 1000).toFixed(2)} kHz` : `${+hz.toFixed(1)} Hz`);

/** As many digits as the uncertainty allows: its first two figures. */
export function digitsFor(uncertainty: number | null, most = 3): number {
  if (!uncertainty || !(uncertainty > 0)) return Math.min(2, most);
  return Math.max(0, Math.min(most, 1 - Math.floor(Math.log10(uncertainty))));
}

/** An uncertainty in figures that say something: never a row of zeros. */
export function plusMinus(uncertainty: number | null, digits: number): string {
  if (uncertainty === null) return "± not known";
  const least = 10 ** -digits;
  return uncertainty < least ? `± under ${least.toFixed(digits)}` : `± ${uncertainty.toFixed(digits)}`;
}

export const verdictMark: Record<string, string> = { met: "✓ met", "not-proven": "? not proven", "not-met": "✗ not met", "not-measured": "– not measured" };
