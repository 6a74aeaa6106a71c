// The list of steps with their ticks, for everybody or for one of the three.

import { el, refill } from "/static/js/dom.js";

export function fillList(host, floor, close) {
  const { record } = floor;
  const steps = record?.steps ?? [];
  const people = [...new Set(steps.map((s) => s.who))];
  if (!people.includes(floor.who)) floor.who = "";
  const ticked = (s) => floor.shown(`tick:${s.key}`, s.tick.done).value;
  const mine = steps.filter((s) => !floor.who || s.who === floor.who);
  refill(
    host,
    el(
      "div",
      { class: "people", role: "group", "aria-label": "Whose steps" },
      ["", ...people].map((who) =>
        el(
          "button",
          {
            type: "button",
            "data-key": `who ${who}`,
            "aria-pressed": String(floor.who === who),
            onclick: () => {
              floor.who = who;
              floor.remember();
              fillList(host, floor, close);
            },
          },
          who || "everyone",
        ),
      ),
    ),
    el("p", { class: "quiet" }, `${mine.filter(ticked).length} of ${mine.length} done`),
    el(
      "ol",
      { class: "steps" },
      mine.map((s) =>
        el(
          "li",
          {},
          el(
            "button",
            { type: "button", "data-key": `step ${s.key}`, "aria-current": s.key === floor.key ? "step" : null, onclick: () => close(s.key) },
            el("span", { class: "tick", "aria-hidden": "true" }, ticked(s) ? "☑" : "☐"),
            el("span", { class: "number" }, s.number),
            el("span", { class: "name" }, s.title, s.held ? el("b", { class: "wrong" }, " · held back") : null),
            el("span", { class: "unseen" }, ticked(s) ? ", done" : ", open"),
          ),
        ),
      ),
    ),
    record?.four?.length
      ? el(
          "div",
          { class: "four" },
          el("h3", {}, "Figures that bind all three"),
          record.four.map((f) => el("p", {}, `${f.label} `, el("b", {}, f.figure), el("span", { class: "also" }, f.note))),
        )
      : null,
    record?.stops?.length
      ? el("div", { class: "note wrong" }, el("h3", {}, "Stop"), record.stops.map((f) => el("p", {}, f.text, " ", f.remedy)))
      : null,
    el(
      "div",
      { class: "list-foot" },
      el("button", { type: "button", onclick: () => (close(), print()) }, "Print this step"),
      el("a", { class: "button", href: "/" }, "All jobs"),
      [floor.awake, floor.apart].filter(Boolean).map((line) => el("p", { class: "quiet" }, line)),
    ),
  );
}
