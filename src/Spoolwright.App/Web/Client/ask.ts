/** Asks for a line of text, by keys: Enter takes it, Escape leaves it. */

import { el } from "./dom";

export class Ask {
  private readonly dialog = el("dialog", { class: "panel", "aria-labelledby": "ask-title" });

  constructor() { document.body.append(this.dialog); }

  open(title: string, label: string, value = ""): Promise<string | null> {
    const field = el("input", { type: "text", id: "asked", autocomplete: "off" });
    field.value = value;
    const form = el("form", { method: "dialog" }, el("h2", { id: "ask-title" }, title), el("p", {}, el("label", { for: "asked" }, label)), field, " ", el("button", { type: "submit", class: "key" }, el("kbd", {}, "Enter"), " take it"), el("p", {}, el("kbd", {}, "Esc"), " leaves it"));
    let taken: string | null = null;
    form.addEventListener("submit", () => { taken = field.value; });
    this.dialog.replaceChildren(form);
    this.dialog.showModal();
    field.focus();
    field.select();
    return new Promise((done) => this.dialog.addEventListener("close", () => done(taken), { once: true }));
  }
}
