// The strip: the few figures that are always in view, each with how it moved with the last change.

import { capital, el, moved, movedShort } from "/static/js/dom.js";

export class Strip {
  constructor(host, { why, findings }) {
    this.host = host;
    this.why = why;
    this.findings = findings;
    this.cells = new Map();
  }

  show(items, { held = false } = {}) {
    const seen = new Set();
    for (const item of items) {
      seen.add(item.key);
      let cell = this.cells.get(item.key);
      if (!cell) {
        cell = this.cell(item);
        this.cells.set(item.key, cell);
        this.host.append(cell.node);
      }
      const { node, label, text, move, sure } = cell;
      cell.why = item.why;
      put(label, item.label);
      put(text, (item.key === "worst" ? capital(item.text) : item.text) || "—");
      put(sure, item.sure || "");
      put(move, movedShort(item.move));
      node.classList.toggle("moved", Boolean(item.move));
      node.classList.toggle("bad", item.severity === "stop" || item.severity === "warn");
      node.setAttribute("aria-label", `${item.label}: ${item.text || "not known"} ${item.sure || ""} ${moved(item.move)}`.trim());
      node.classList.toggle("rough", /give or take|±|about/.test(item.sure ?? ""));
      node.title = [item.text, item.sure, item.move].filter(Boolean).join("; ");
    }
    for (const [key, { node }] of this.cells) {
      if (seen.has(key)) continue;
      node.remove();
      this.cells.delete(key);
    }
    this.host.classList.toggle("held", held);
  }

  cell(item) {
    const label = el("span", { class: "label" });
    const text = el("span", { class: "text" });
    const sure = el("span", { class: "sure" });
    const move = el("span", { class: "move" });
    const node = el("button", { type: "button", class: "cell", id: `strip-${item.key.replaceAll(/\W+/g, "-")}` }, label, text, sure, move);
    const cell = { node, label, text, sure, move, why: null };
    node.addEventListener("click", () => (cell.why ? this.why(cell.why) : this.findings()));
    return cell;
  }
}

function put(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

/** The moves of a strip as one line for a screen reader. */
export function movesOf(items) {
  return items
    .filter((i) => i.move)
    .map((i) => `${i.label} ${i.text}, ${moved(i.move).replace(/^[↑↓→] /, "")}`)
    .join("; ");
}
