/** Asks for several things at once, by keys: Enter takes them, Escape leaves all as it is. What the book refuses is said in the form, and what Escape left stands there when it is opened again, so that nothing has to be typed twice. */

import { el } from "../dom";

export interface Field {
  name: string;
  label: string;
  kind?: "text" | "long" | "select" | "file";
  /** Words to choose from; with kind text they are offered and others may be typed. */
  options?: string[];
  value?: string;
  need?: boolean;
  hint?: string;
}

export class Form {
  private readonly dialog = el("dialog", { class: "panel form", "aria-labelledby": "form-title" });

  /** What was typed and not taken, by page, row and what the form began with: of another row it is another form. */
  private readonly left = new Map<string, Record<string, string>>();

  constructor() { document.body.append(this.dialog); }

  /** @param send Writes it; a text: why it was refused, null: done. */
  open(title: string, take: string, fields: Field[], send: (said: Record<string, string>) => Promise<string | null>, note = ""): void {
    const controls = fields.map((f) => ({ field: f, control: make(f) })), problem = el("p", { class: "problem", role: "alert", hidden: "" });
    const row = document.querySelector<HTMLElement>("tr[aria-current]")?.dataset["id"] ?? "", key = JSON.stringify([location.pathname, row, title, fields.map((f) => [f.name, f.value ?? ""])]), left = this.left.get(key), typed = controls.filter(({ field }) => field.kind !== "file"), began = typed.map(({ control }) => control.value);
    if (left) for (const { field, control } of typed) control.value = left[field.name] ?? control.value;
    const form = el("form", { method: "dialog" }, el("h2", { id: "form-title" }, title), note ? el("p", { class: "faint" }, note) : null, left ? el("p", { class: "faint" }, "What you had typed stands here again.") : null,
      ...controls.map(({ field, control }) => el("p", { class: "field" }, el("label", { for: control.id }, field.label), control, field.options && field.kind !== "select" ? list(field) : null, field.hint ? el("small", { class: "faint" }, field.hint) : null)),
      problem, el("p", {}, el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), ` ${take}`), " ", el("kbd", {}, "Esc"), " leaves it"));
    let busy = false, taken = false;
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      if (busy) return;
      busy = true;
      void (async () => {
        const said: Record<string, string> = {};
        for (const { field, control } of controls) said[field.name] = control instanceof HTMLInputElement && control.type === "file" ? ((await control.files?.[0]?.text()) ?? "") : control.value;
        const refused = await send(said);
        busy = false;
        if (refused === null) {
          taken = true;
          // At once: the dialog says that it closed only later, and the next form may stand open by then.
          this.left.delete(key);
          this.dialog.close();
          return;
        }
        problem.hidden = false;
        problem.textContent = `✗ ${refused}`;
      })();
    });
    this.dialog.addEventListener("close", () => {
      if (taken || typed.every(({ control }, i) => control.value === began[i])) this.left.delete(key);
      else this.left.set(key, Object.fromEntries(typed.map(({ field, control }) => [field.name, control.value])));
    }, { once: true });
    this.dialog.replaceChildren(form);
    this.dialog.showModal();
    controls[0]?.control.focus();
  }
}

function make(field: Field): HTMLInputElement | HTMLTextAreaElement | HTMLSelectElement {
  const shared: Record<string, string> = { id: `field-${field.name}`, ...(field.need ? { required: "" } : {}) };
  if (field.kind === "select") {
    const select = el("select", shared, ...(field.options ?? []).map((o) => el("option", { value: o }, o === "" ? "not said" : o.replaceAll("-", " "))));
    if (field.value !== undefined) select.value = field.value;
    return select;
  }
  if (field.kind === "long") {
    const area = el("textarea", { ...shared, rows: "4" });
    area.value = field.value ?? "";
    return area;
  }
  const input = el("input", { ...shared, type: field.kind === "file" ? "file" : "text", autocomplete: "off", ...(field.options ? { list: `list-${field.name}` } : {}), ...(field.kind === "file" ? { accept: ".json,application/json" } : {}) });
  if (field.kind !== "file") input.value = field.value ?? "";
  return input;
}

const list = (field: Field): HTMLElement => el("datalist", { id: `list-${field.name}` }, ...field.options!.map((o) => el("option", { value: o })));
