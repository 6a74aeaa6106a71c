// What I got: boxes beside what was wanted, states of pieces, verdicts. What is typed is kept at once and sent later.

import { el } from "/static/js/dom.js";
import { firm } from "/static/floor/parts.js";
import { said, verdict } from "/static/floor/show.js";

export function showGot(floor, step) {
  const marks = new Set(step.pieces.map((p) => p.mark));
  const verdicts = floor.record.verdicts.filter((v) => marks.has(v.mark));
  return [
    verdicts.map(verdict),
    grouped(step.boxes).map(([title, boxes], i) =>
      title
        ? el(
            "details",
            { class: "boxes", "data-key": `${step.key} ${title}`, open: i === 0 },
            el("summary", {}, title, el("span", { class: "quiet" }, ` ${filled(floor, boxes)} of ${boxes.length}`)),
            boxes.map((b) => box(floor, b)),
          )
        : el("div", { class: "boxes" }, boxes.map((b) => box(floor, b))),
    ),
    step.pieces.length
      ? el("div", { class: "pieces" }, el("h3", {}, "Pieces"), step.pieces.map((piece) => states(floor, piece)))
      : null,
  ];
}

/** Boxes of one leg under one heading: "set A, working side: long point" is "long point" of "set A, working side". */
function grouped(boxes) {
  const found = new Map();
  for (const one of boxes) {
    const [first, rest] = one.label.includes(": ") ? one.label.split(": ") : ["", one.label];
    if (!found.has(first)) found.set(first, []);
    found.get(first).push({ ...one, short: rest });
  }
  return [...found];
}

const filled = (floor, boxes) => boxes.filter((b) => floor.shown(`measure:${b.field}`, b.got).value.some(Boolean)).length;

const HINTS = { length: { inch: "in", metric: "mm" }, angle: { inch: "degrees", metric: "degrees" }, mass: { inch: "lb", metric: "kg" } };

function box(floor, one) {
  const place = `measure:${one.field}`;
  const now = floor.shown(place, one.got);
  const several = one.parts.length > 0;
  const id = `box-${one.field.replaceAll(".", "-")}`;
  const typed = draft(floor, one.field) ?? now.value;
  const had = floor.seen(place, one.got); // what stood in the box when the person saw it
  const inputs = (several ? one.parts : [""]).map((part, i) =>
    el("input", {
      type: "text",
      id: `${id}-${i}`,
      "data-key": `${place} ${i}`,
      "data-measure": one.measure,
      "data-dirty": draft(floor, one.field) ? "1" : null,
      inputmode: coarse() ? "none" : "text",
      autocomplete: "off",
      autocapitalize: "off",
      spellcheck: "false",
      enterkeyhint: "done",
      maxlength: 40,
      value: typed[i] ?? "",
      "aria-label": `got: ${one.label}${part ? `, ${part}` : ""}`,
      "aria-invalid": now.trouble ? "true" : null,
      "aria-describedby": `${id}-told`,
      onfocus: (event) => floor.keys.open(event.target),
      oninput: (event) => {
        event.target.dataset.dirty = "1";
        keepDraft(floor, one.field, inputs.map((node) => node.value));
      },
      onblur: (event) => event.target.dataset.dirty && document.hasFocus() && commit(), // put away half typed: not yet
      onkeydown: (event) => {
        if (event.key === "Enter") event.target.blur();
      },
    }),
  );
  const told = el("p", { class: "told", id: `${id}-told` }, state(floor, place, now, one));
  const commit = () => {
    const values = inputs.map((node) => node.value.trim());
    if (values.some(Boolean) && !values.every(Boolean)) {
      told.replaceChildren(`Fill all ${values.length}: one alone says nothing.`);
      return;
    }
    const finished = () => {
      for (const node of inputs) delete node.dataset.dirty;
      keepDraft(floor, one.field, null);
    };
    const stands = floor.shown(place, one.got).value;
    if (values.length === stands.length && values.every((v, i) => v === stands[i])) {
      finished();
      floor.repaint();
      return;
    }
    const item = { kind: "measure", field: one.field, value: values, seen: floor.seen(place, null, had) };
    floor.put(place, item, finished); // what is typed is forgotten only once the item is kept
  };
  return el(
    "div",
    { class: `box ${now.waiting ? "waiting" : ""}` },
    el("div", { class: "ask" }, el("span", { class: "what" }, one.short), el("b", { class: "want" }, firm(one.want)), el("span", { class: "quiet" }, one.within ? `within ${one.within}` : "")),
    several
      ? el("div", { class: "several" }, inputs.map((node, i) => el("label", { for: node.id }, el("span", {}, one.parts[i]), node)))
      : el("div", { class: "single" }, el("label", { for: `${id}-0` }, "got"), inputs[0], el("span", { class: "unit", "aria-hidden": "true" }, HINTS[one.measure][floor.record.units])),
    told,
    now.trouble?.now ? choice(floor, place, one, now) : null,
  );
}

function state(floor, place, now, one) {
  if (draft(floor, one.field)) return one.parts.length ? `✎ begun: fill all ${one.parts.length}` : "✎ begun, not finished: press Done";
  if (now.trouble) return el("span", { class: "wrong" }, `✗ Not taken: ${said(now.trouble.error)}`);
  if (now.waiting) return "◷ kept here, not sent yet";
  return one.got.some(Boolean) ? "✓ at the bench" : "";
}

function choice(floor, place, one, now) {
  const theirs = now.trouble.now;
  return el(
    "div",
    { class: "choice" },
    el("p", {}, "The bench has ", el("b", {}, firm(theirs.filter(Boolean).join(", ")) || "nothing"), ", you typed ", el("b", {}, firm(now.value.join(", ")))),
    el("button", { type: "button", "data-key": `${place} theirs`, onclick: () => floor.drop(place) }, "Keep theirs"),
    el(
      "button",
      {
        type: "button",
        "data-key": `${place} mine`,
        onclick: () => floor.put(place, { kind: "measure", field: one.field, value: now.value, seen: floor.seen(place, one.got) }),
      },
      "Send mine",
    ),
  );
}

// ---------------------------------------------------------------- pieces

function states(floor, piece) {
  const place = `state:${piece.mark}`;
  const now = floor.shown(place, piece.state);
  const name = `piece-${piece.mark}`;
  return el(
    "fieldset",
    { class: `piece-state ${now.waiting ? "waiting" : ""}` },
    el("legend", {}, el("b", {}, piece.mark), ` ${piece.name}${piece.count > 1 ? ` × ${piece.count}` : ""}`, el("span", { class: "quiet" }, now.waiting ? " · not sent yet" : "")),
    el(
      "div",
      { class: "row" },
      floor.record.states.map((one) =>
        el(
          "label",
          { class: now.value === one ? "picked" : "" },
          el("input", {
            type: "radio",
            name,
            "data-key": `${place} ${one}`,
            checked: now.value === one,
            onchange: () => floor.put(place, { kind: "state", mark: piece.mark, state: one, seen: floor.seen(place, piece.state) }),
          }),
          one,
        ),
      ),
    ),
    now.trouble
      ? el(
          "div",
          { class: "choice" },
          el("p", { class: "wrong" }, `✗ Not taken: ${said(now.trouble.error)}`),
          el("button", { type: "button", "data-key": `${place} theirs`, onclick: () => floor.drop(place) }, "Keep theirs"),
          now.trouble.now
            ? el(
                "button",
                {
                  type: "button",
                  "data-key": `${place} mine`,
                  onclick: () => floor.put(place, { kind: "state", mark: piece.mark, state: now.value, seen: floor.seen(place, piece.state) }),
                },
                "Send mine",
              )
            : null,
        )
      : null,
  );
}

// ---------------------------------------------------------------- half-typed figures

const drafts = (floor) => `pitwright.floor.drafts.${floor.job}`;

function readDrafts(floor) {
  try {
    return JSON.parse(localStorage.getItem(drafts(floor)) ?? "{}");
  } catch {
    return {};
  }
}

function draft(floor, field) {
  return readDrafts(floor)[field] ?? null;
}

function keepDraft(floor, field, values) {
  try {
    const all = readDrafts(floor);
    if (values) all[field] = values;
    else delete all[field];
    localStorage.setItem(drafts(floor), JSON.stringify(all));
  } catch {
    // a half-typed figure then lasts as long as the page
  }
}

export const coarse = () => matchMedia("(pointer: coarse)").matches;
