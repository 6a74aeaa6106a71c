// What the larger views share: sliders with their figure beside them, tables, weights as the tape writes them, and the
// colours of the page's scheme.

import { el } from "/static/js/dom.js";

let made = 0;
export const newId = (stem) => `${stem}-${(made += 1)}`;

/** A slider with its label and figure: `text(value)` is what stands beside it and what a screen reader says. */
export function slider({ label, low, high, step, value, text, act, key = "" }) {
  const id = newId("slide");
  const figure = el("output", { for: id, class: "slide-figure" });
  const input = el("input", { type: "range", id, min: low, max: high, step, "data-key": key || null });
  const set = (now) => {
    input.value = String(now);
    show();
  };
  const show = () => {
    const said = text(Number(input.value));
    figure.textContent = said;
    input.setAttribute("aria-valuetext", said);
  };
  input.addEventListener("input", () => {
    show();
    act(Number(input.value));
  });
  set(value);
  return { row: el("div", { class: "slide" }, el("label", { for: id }, label), input, figure), input, set, show };
}

/** A table; `numbers` are the columns set to the right. The first column heads its row. */
export function table(head, rows, { caption = "", numbers = [], key = "" } = {}) {
  const kind = (i) => (numbers.includes(i) ? "number" : null);
  return el(
    "div",
    { class: "table-host", tabindex: "0", role: "group", "aria-label": caption || head.join(", "), "data-key": key || null },
    el(
      "table",
      { class: head.length > 5 ? "wide" : null },
      caption ? el("caption", {}, caption) : null,
      el("thead", {}, el("tr", {}, head.map((h, i) => el("th", { scope: "col", class: kind(i) }, h)))),
      el(
        "tbody",
        {},
        rows.map((row) =>
          el(
            "tr",
            {},
            row.map((cell, i) =>
              i === 0 ? el("th", { scope: "row", class: kind(i) }, cell) : el("td", { class: kind(i) }, cell),
            ),
          ),
        ),
      ),
    ),
  );
}

/** A weight as the tape writes it: three figures, decimals only where it is light. */
export function weight(kilograms, weigh) {
  const value = kilograms / weigh.kilograms;
  if (!value) return `0 ${weigh.unit}`;
  const rounded = Number(value.toPrecision(3));
  const first = -Math.floor(Math.log10(Math.abs(rounded)));
  const places = Math.min(Math.max(Math.min(2, 2 + first), Math.min(first, 2 + first), 0), 6);
  const text = rounded.toLocaleString("en-US", { minimumFractionDigits: places, maximumFractionDigits: places });
  return `${text} ${weigh.unit}`;
}

/** The scheme's colours as the page has them now. */
export function colours() {
  const root = getComputedStyle(document.documentElement);
  const read = (name) => root.getPropertyValue(name).trim();
  const paper = read("--paper") || "#ffffff";
  return {
    paper,
    ink: read("--ink") || "#15191b",
    quiet: read("--quiet") || "#555d62",
    accent: read("--accent") || "#00676c",
    dark: read("color-scheme") === "dark" || root.colorScheme === "dark",
  };
}

/** Calls `act` whenever the scheme turns; gives back how to stop. */
export function watchScheme(act) {
  const seen = new MutationObserver(act);
  seen.observe(document.documentElement, { attributes: true, attributeFilter: ["data-scheme"] });
  const asked = matchMedia("(prefers-color-scheme: dark)");
  asked.addEventListener("change", act);
  return () => {
    seen.disconnect();
    asked.removeEventListener("change", act);
  };
}
