// Keys for gloves: figures, fractions of an inch, minus; for fingers only, a keyboard is left alone.

import { el } from "/static/js/dom.js";

const FRACTIONS = ["1/16", "1/8", "3/16", "1/4", "5/16", "3/8", "7/16", "1/2", "9/16", "5/8", "11/16", "3/4", "13/16", "7/8", "15/16"];

export class Keys {
  constructor(host, units) {
    this.host = host;
    this.units = units;
    this.input = null;
    host.addEventListener("pointerdown", (event) => event.preventDefault()); // the box keeps the focus
    document.addEventListener("focusout", () => {
      setTimeout(() => {
        if (this.input && document.activeElement !== this.input) this.close();
      });
    });
  }

  open(input) {
    if (input.inputMode !== "none") return;
    this.input = input;
    const fractions = this.units() === "inch" && input.dataset.measure === "length";
    this.host.replaceChildren(this.#pad(fractions));
    this.host.hidden = false;
    document.body.classList.add("typing");
    requestAnimationFrame(() => input.closest(".box")?.scrollIntoView({ block: "center" }));
  }

  close() {
    this.input = null;
    this.host.hidden = true;
    document.body.classList.remove("typing");
  }

  #pad(fractions) {
    const key = (text, act, more = {}) => el("button", { type: "button", tabindex: "-1", onclick: act, ...more }, text);
    const put = (text) => key(text, () => this.#type(text));
    const figures = [..."789456123"].map(put);
    const last = [put("."), put("0"), key("−", () => this.#type("-"), { "aria-label": "minus" })];
    const actions = [
      key("⌫", () => this.#back(), { "aria-label": "Take back one sign" }),
      key("Clear", () => this.#set("")),
      key("space", () => this.#type(" "), { class: "wide" }),
      key("Done", () => this.#done(), { class: "main" }),
    ];
    return el(
      "div",
      { class: fractions ? "pad inch" : "pad" },
      el("div", { class: "figures" }, figures, last),
      fractions ? el("div", { class: "fractions" }, FRACTIONS.map((f) => key(f, () => this.#fraction(f)))) : null,
      el("div", { class: "actions" }, actions),
    );
  }

  #set(text) {
    this.input.value = text;
    this.input.dispatchEvent(new Event("input", { bubbles: true }));
  }

  #type(text) {
    this.#set(this.input.value + text);
  }

  /** A fraction after whole inches stands off by a space, and takes the place of one typed before. */
  #fraction(text) {
    const whole = this.input.value.replace(/\s*\d+\/\d+\s*$/, "").trim();
    this.#set(whole ? `${whole} ${text}` : text);
  }

  #back() {
    this.#set(this.input.value.replace(/(\s*\d+\/\d+|\s|.)$/, ""));
  }

  #done() {
    const input = this.input;
    this.close();
    input.blur();
  }
}
