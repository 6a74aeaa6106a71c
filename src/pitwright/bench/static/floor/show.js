// One step on the page: its parts in a row of buttons on a phone, beside one another on a tablet.

import { el, refill } from "/static/js/dom.js";
import { showGot } from "/static/floor/got.js";
import { showDo, showPulls, showSaw } from "/static/floor/parts.js";

const PARTS = [
  ["do", "Do", showDo, () => 1],
  ["marks", "Marks", showPulls, (s) => s.pulls.length],
  ["saw", "Saw", showSaw, (s) => s.saw.length],
  ["got", "Got", showGot, (s) => s.boxes.length + s.pieces.length],
];

export function showStep(host, floor, step) {
  if (!step) {
    const words = floor.record?.problem ? "There are no steps yet." : "Looking for the job…";
    refill(host, el("p", { class: "none" }, words));
    return;
  }
  const parts = PARTS.filter(([, , , has]) => has(step));
  if (!parts.some(([key]) => key === floor.part)) floor.part = "do";
  host.dataset.part = floor.part;
  const section = ([key, title, show]) =>
    el("section", { class: `part part-${key}`, "aria-label": title }, el("h2", {}, title), show(floor, step));
  const two = parts.some(([key]) => key === "saw" || key === "got"); // both columns of a tablet have something
  const beside = (keys) => {
    const some = parts.filter(([key]) => keys.includes(key));
    return some.length ? el("div", { class: "beside" }, some.map(section)) : null;
  };
  refill(
    host,
    el(
      "div",
      { class: "head" },
      el("h1", {}, el("span", { class: "number" }, `${step.number}`), " ", step.title),
      el("p", { class: "quiet" }, `For ${step.who}${step.done ? " · all its pieces are welded" : ""}`),
    ),
    parts.length > 1 ? chooser(floor, parts) : null,
    el("div", { class: "parts" }, two ? [beside(["do", "marks"]), beside(["saw", "got"])] : parts.map(([key]) => beside([key]))),
    el("p", { class: "codes" }, floor.record.codes),
  );
}

function chooser(floor, parts) {
  return el(
    "nav",
    { class: "chooser", "aria-label": "Parts of this step" },
    parts.map(([key, title]) =>
      el(
        "button",
        {
          type: "button",
          "data-key": `part ${key}`,
          "aria-pressed": String(floor.part === key),
          onclick: () => {
            floor.part = key;
            floor.repaint();
            scrollTo(0, 0);
          },
        },
        title,
      ),
    ),
  );
}

/** Over the step: the hold line, why there is no pit, and what re-solved of late. */
export function showNotes(host, floor) {
  const { record, news } = floor;
  const notes = [];
  if (record?.hold) notes.push(el("p", { class: "note stop" }, el("b", {}, "⛔ "), record.hold));
  if (record?.problem) {
    notes.push(
      el(
        "div",
        { class: "note wrong" },
        el("p", {}, el("b", {}, "The bench cannot solve this job: "), said(record.problem)),
        el("p", {}, "The steps shown are those from before. What you type is kept all the same."),
      ),
    );
  }
  if (news) notes.push(newsBox(floor, news));
  const elsewhere = [...floor.troubles.values()].map((t) => ({ ...t, at: stepOf(record, t.place) })).filter((t) => t.at?.key !== floor.key);
  if (elsewhere.length) {
    notes.push(
      el(
        "div",
        { class: "note wrong" },
        el("b", {}, "Not taken: "),
        elsewhere.map((t) =>
          el(
            "p",
            {},
            t.at
              ? el("button", { type: "button", class: "jump", "data-key": `trouble ${t.place}`, onclick: () => floor.go(t.at.key, { part: partOf(t.place) }) }, `step ${t.at.number}, ${words(t.place)}`)
              : [words(t.place), " ", el("button", { type: "button", "data-key": `trouble ${t.place}`, onclick: () => floor.drop(t.place) }, "Let it go")],
            ` ${said(t.error)}`,
          ),
        ),
      ),
    );
  }
  refill(host, notes);
}

/** The step a place belongs to. */
function stepOf(record, place) {
  const [kind, ...rest] = place.split(":");
  const name = rest.join(":");
  return record?.steps.find((s) => {
    if (kind === "measure") return s.boxes.some((b) => b.field === name);
    if (kind === "state") return s.pieces.some((p) => p.mark === name);
    return s.key === name || s.checks.some((c) => c.key === name);
  });
}

const partOf = (place) => (place.startsWith("tick:") ? "do" : "got");
const words = (place) => place.slice(place.indexOf(":") + 1).replaceAll(".", " ").replaceAll("_", " ");

export function said(problem) {
  const field = (problem.field ?? "").replaceAll("_", " ").replace(/\.(?=[A-Za-z])/g, " ");
  const line = field ? `${field}: ${problem.message}` : problem.message;
  return [line, problem.allowed && `. Allowed: ${problem.allowed}`, problem.remedy && `. ${problem.remedy}`].filter(Boolean).join("");
}

function newsBox(floor, news) {
  return el(
    "div",
    { class: "note news" },
    el("p", {}, el("b", {}, "Solved again. "), news.moved.length ? `${news.moved.length} figures read otherwise.` : "No figure moved."),
    news.verdicts.map(verdict),
    news.moved.length
      ? el("details", { "data-key": "moved" }, el("summary", {}, "What moved"), el("ul", {}, news.moved.map((line) => el("li", {}, line))))
      : null,
    el("button", { type: "button", "data-key": "news seen", onclick: () => ((floor.news = null), floor.repaint()) }, "Seen"),
  );
}

const SIGNS = { fits: "✓ FITS", "fits with gap": "✓ FITS, with a gap", trim: "✂ TRIM", recut: "✗ RECUT" };

export function verdict(one) {
  const kind = one.verdict.replaceAll(" ", "-");
  return el("p", { class: `verdict ${kind}` }, el("b", {}, `${one.mark} ${SIGNS[one.verdict] ?? one.verdict}`), ` ${one.text}`);
}
