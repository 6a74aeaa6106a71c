// Parts of a step that are read: what is done, marks pulled from one datum, and the saw with its two settings.

import { el, svgEl } from "/static/js/dom.js";

/** A figure that does not break: 47-1/8" and 47 1/8 stay one piece. */
export const firm = (text) => text.replaceAll("-", "\u2011").replace(/(\d) (\d)/g, "$1\u00a0$2");

// ---------------------------------------------------------------- do

export function showDo(floor, step) {
  return [
    step.after.length ? waitsFor(floor, step) : null,
    el("ol", { class: "do" }, step.do.map((line) => el("li", {}, line))),
    fact("Lift", step.lift),
    fact("Tack", step.tack.join("; ")),
    fact("Weld, in this order", step.weld.join("; ")),
    step.last_chance.length
      ? el("p", { class: "note wrong" }, el("b", {}, "Last chance. "), `After this nobody reaches ${step.last_chance.join(" nor ")}.`)
      : null,
    step.checks.length ? checks(floor, step) : null,
    step.cautions.length
      ? el("div", { class: "cautions" }, el("h3", {}, "⚠ Mind"), el("ul", {}, step.cautions.map((line) => el("li", {}, line))))
      : null,
  ];
}

function fact(name, text) {
  return text ? el("p", { class: "fact" }, el("b", {}, `${name}: `), text) : null;
}

function waitsFor(floor, step) {
  const open = step.after.filter((one) => {
    const other = floor.record.steps.find((s) => s.key === one.key);
    return other && !floor.shown(`tick:${one.key}`, other.tick.done).value;
  });
  if (!open.length) return null;
  return el(
    "p",
    { class: "note waits" },
    el("b", {}, "First: "),
    open.map((one, i) => [i ? ", " : "", el("button", { type: "button", class: "jump", onclick: () => floor.go(one.key) }, one.text)]),
  );
}

function checks(floor, step) {
  return el(
    "fieldset",
    { class: "checks" },
    el("legend", {}, "Check before going on"),
    step.checks.map((check) => {
      const place = `tick:${check.key}`;
      const now = floor.shown(place, check.tick.done);
      return el(
        "div",
        { class: "check" },
        el(
          "label",
          {},
          el("input", {
            type: "checkbox",
            "data-key": place,
            checked: now.value,
            onchange: (event) => floor.put(place, { kind: "tick", step: check.key, done: event.target.checked }),
          }),
          el(
            "span",
            {},
            el("span", { class: "what" }, check.what),
            el("b", { class: "want" }, firm(check.want)),
            check.within ? el("span", { class: "quiet" }, `within ${check.within}`) : null,
            now.waiting ? el("span", { class: "quiet" }, "not sent yet") : null,
          ),
        ),
        now.trouble ? el("p", { class: "trouble" }, now.trouble.error.message) : null,
      );
    }),
  );
}

// ---------------------------------------------------------------- marks

export function showPulls(floor, step) {
  return step.pulls.map((pull) =>
    el(
      "div",
      { class: "pull" },
      el("h3", {}, pull.title),
      el("p", { class: "datum" }, el("span", { "aria-hidden": "true" }, "⚓ "), "From: ", el("b", {}, pull.datum)),
      el(
        "table",
        {},
        el("caption", { class: "unseen" }, `${pull.title}, pulled from ${pull.datum}`),
        el("thead", { class: "unseen" }, el("tr", {}, el("th", { scope: "col" }, "mark"), el("th", { scope: "col" }, "pull to"))),
        el(
          "tbody",
          {},
          pull.stops.map((stop) =>
            el(
              "tr",
              {},
              el("th", { scope: "row" }, stop.what, stop.also ? el("span", { class: "also" }, stop.also) : null),
              el("td", { class: stop.text.length > 12 ? "figure long" : "figure" }, firm(stop.text)),
            ),
          ),
        ),
      ),
      pull.closes ? el("p", { class: "closes" }, "Closes: ", el("b", {}, firm(pull.closes))) : null,
    ),
  );
}

// ---------------------------------------------------------------- saw

export function showSaw(floor, step) {
  const at = Math.min(floor.piece[step.key] ?? 0, step.saw.length - 1);
  const turn = (by) => {
    floor.piece[step.key] = (at + by + step.saw.length) % step.saw.length;
    floor.repaint();
  };
  const pager = el(
    "div",
    { class: "pager" },
    el("button", { type: "button", "data-key": "saw back", "aria-label": "Piece before", onclick: () => turn(-1) }, "‹"),
    el("p", { role: "status" }, `piece ${at + 1} of ${step.saw.length}`),
    el("button", { type: "button", "data-key": "saw next", "aria-label": "Next piece", onclick: () => turn(1) }, "›"),
  );
  return [
    step.saw.length > 1 ? pager : null,
    step.saw.map((piece, i) => el("div", { class: i === at ? "saw" : "saw other" }, sawPiece(piece))),
  ];
}

function sawPiece(piece) {
  const [left, right] = piece.ends;
  return [
    el(
      "p",
      { class: "piece" },
      el("b", { class: "marks" }, piece.marks.join(", ")),
      ` ${piece.count} × ${piece.name}`,
      el("span", { class: "quiet" }, ` · ${piece.stock}${piece.to_length ? ", bought to length" : ""}${piece.cut_already ? " · CUT ALREADY" : ""}`),
    ),
    el("div", { class: "settings" }, setting(left), setting(right)),
    piece.turn ? el("p", { class: piece.turn.startsWith("ROLL") ? "turn roll" : "turn" }, piece.turn) : null,
    sketch(piece),
    el(
      "dl",
      { class: "lengths" },
      pair("long point", piece.long_point),
      pair("short point", piece.short_point),
      pair(`check: ${piece.check[0]}`, piece.check[1]),
    ),
    piece.chalk ? el("p", {}, piece.chalk) : null,
    piece.ends.map((end) => (end.note ? el("p", { class: "quiet" }, `${end.name}: ${end.note}`) : null)),
  ];
}

function setting(end) {
  return el("div", { class: "setting" }, el("span", { class: "end" }, end.name), el("b", { class: end.setting.length > 5 ? "long" : "" }, firm(end.setting)));
}

function pair(name, figure) {
  return el("div", {}, el("dt", {}, name), el("dd", {}, firm(figure)));
}

const WIDE = 340;
const HIGH = 92;
const BAR = 44; // height of the bar in the sketch

/** The bar as it lies, chalked face up: its two cuts at their true angles, its length broken. */
function sketch(piece) {
  const slope = (off) => Math.max(-70, Math.min(70, BAR * Math.tan((off * Math.PI) / 180)));
  const [a, b] = piece.ends.map((end) => slope(end.off));
  const top = 28;
  const x = { tl: 30 + Math.max(0, -a), bl: 30 + Math.max(0, a), tr: WIDE - 30 - Math.max(0, -b), br: WIDE - 30 - Math.max(0, b) };
  const bar = `M${x.tl} ${top} L${x.tr} ${top} L${x.br} ${top + BAR} L${x.bl} ${top + BAR} Z`;
  const mid = WIDE / 2;
  const words = `Sketch: ${piece.ends.map((e) => `${e.name} ${e.setting}`).join(", ")}; chalked face up.`;
  return svgEl(
    "svg",
    { viewBox: `0 0 ${WIDE} ${HIGH}`, class: "sketch", role: "img", "aria-label": words },
    svgEl("path", { d: bar, class: "bar" }),
    svgEl("path", { d: `M${x.tl} ${top - 4} L${x.tr} ${top - 4}`, class: "chalk" }),
    svgEl("path", { d: `M${mid - 8} ${top - 8} l8 ${BAR / 2 + 8} l-8 0 l8 ${BAR / 2 + 8}`, class: "break" }),
    svgEl("path", { d: `M${mid + 4} ${top - 8} l8 ${BAR / 2 + 8} l-8 0 l8 ${BAR / 2 + 8}`, class: "break" }),
    svgEl("text", { x: mid, y: 14, class: "word" }, "chalked face"),
    svgEl("text", { x: 34, y: HIGH - 4, class: "word start" }, piece.ends[0].name),
    svgEl("text", { x: WIDE - 34, y: HIGH - 4, class: "word finish" }, piece.ends[1].name),
  );
}
