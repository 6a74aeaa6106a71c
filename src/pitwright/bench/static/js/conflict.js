// Two people changed the same thing: both values are shown, and one is picked. Nothing is overwritten unseen.

import { ask, el } from "/static/js/dom.js";

const words = (path) => (Array.isArray(path) ? path.map((p) => (typeof p === "number" ? `no. ${p + 1}` : String(p).replaceAll("_", " "))).join(", ") : String(path));
const text = (value) => (value === null || value === undefined || value === "" ? "(blank)" : typeof value === "object" ? JSON.stringify(value) : String(value));

/** The value for a path among edits; the edit at its place where paths are written otherwise. */
function at(edits, i, path) {
  if (!Array.isArray(edits)) return edits;
  const same = edits.find((e) => e?.path?.join(".") === path.join("."));
  return (same ?? edits[i] ?? edits[0])?.value;
}

/** Resolves true for "mine", false for "theirs". `name(path)` gives a field's label. */
export function pick(conflict, name, what) {
  return new Promise((resolve) => {
    let mine = false;
    const one = conflict.paths?.length === 1 ? conflict.paths[0] : null;
    const value = (edits) => (one ? `: ${text(at(edits, 0, one))}` : "");
    const rows = (conflict.paths ?? []).map((path, i) =>
      el("tr", {}, el("th", { scope: "row" }, name(path) ?? words(path)), el("td", {}, text(at(conflict.theirs, i, path))), el("td", {}, text(at(conflict.mine, i, path)))),
    );
    const box = ask(
      "Changed in two places",
      [
        el("p", {}, `${conflict.by || "Somebody else"} changed the same thing while you did. Nothing of yours is stored yet. Pick one.`),
        el("table", {},
          el("thead", {}, el("tr", {}, ["", "theirs (in force)", "yours"].map((t) => el("th", { scope: "col" }, t)))),
          el("tbody", {}, rows.length ? rows : el("tr", {}, el("th", { scope: "row" }, what), el("td", {}, text(conflict.theirs)), el("td", {}, text(conflict.mine))))),
      ],
      [
        { label: `Keep theirs${value(conflict.theirs)}`, main: true },
        { label: `Use mine${value(conflict.mine)}`, act: () => { mine = true; } },
      ],
      { key: "conflict" },
    ); // prettier-ignore
    box.addEventListener("close", () => resolve(mine));
  });
}
