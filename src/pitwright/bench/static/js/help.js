// What the keys do, and how the page is used.

import { ask, el } from "/static/js/dom.js";

const KEYS = [
  ["Anywhere", [
    ["Tab, Shift + Tab", "to the next, the one before: fields, drawing, what can be taken on it, panels, strip"],
    ["Ctrl + Z", "undo (not while you type in a field)"],
    ["Ctrl + Y, Ctrl + Shift + Z", "redo"],
    ["Escape", "closes a box; puts back what you typed or what you are moving"],
  ]],
  ["On the drawing", [
    ["1 to 9", "the views in their order"],
    ["+ and −", "larger, smaller; the wheel and two fingers do the same"],
    ["0", "the whole drawing"],
    ["arrow keys", "move the paper (Shift: further)"],
    ["d, Shift + D", "to the next dimension, the one before; Enter types a value on it"],
    ["?", "this page"],
  ]],
  ["On a square that can be taken", [
    ["arrow keys", "move it by one step of the tape (Shift: by a large step); stored when you stop"],
    ["Enter", "type its value, in any way a tape is read: 37 1/2, 3' 1 1/2\", 952.5 mm"],
    ["Escape", "puts it back"],
  ]],
  ["With the pointer", [
    ["drag a square", "the pit follows; it snaps to seams, halves and the steps of the tape"],
    ["hold Alt", "no snapping"],
    ["press a square or a dimension", "type its value"],
    ["press a line", "why it is where it is"],
    ["press twice on the paper", "larger, there"],
  ]],
  ["In a field", [
    ["Enter", "takes it; an empty field goes back to the shop's own rule"],
    ["arrow keys in Findings, Figures, Why, History", "from one to the next"],
  ]],
]; // prettier-ignore

export function help() {
  ask(
    "Help and keys",
    KEYS.map(([title, rows]) => [
      el("h3", {}, title),
      el("table", { class: "keys" }, el("tbody", {}, rows.map(([k, what]) => el("tr", {}, el("th", { scope: "row" }, k), el("td", {}, what))))),
    ]),
    [{ label: "Close" }],
    { wide: true, key: "help" },
  );
}
