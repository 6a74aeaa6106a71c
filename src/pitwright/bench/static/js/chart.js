// A plain line chart in SVG, drawn in the page's own pixels so that lettering stays readable at any width.
// Lines differ by dash as well as by place and carry their names; bands are hatched; nothing hangs on colour alone.

import { svgEl } from "/static/js/dom.js";
import { newId } from "/static/js/view_kit.js";

const LETTER = 13; // height of the chart's lettering [px]
const DASHES = { solid: null, dashed: "7 4", dotted: "2 4", chain: "10 4 2 4" };

/**
 * Keeps a chart in `host`; gives back {draw(data), close()}.
 * data: {label, x: {low, high, ticks: [{at, text}], name, ends: [left, right]}, y: the same without ends,
 *        band: {x, low, high, name}|null, lines: [{x, y, name, dash, strong}], levels: [{at, text}], marks: [{at, text}]}
 */
export function chart(host, { tall = 300 } = {}) {
  let data = null;
  const svg = svgEl("svg", { class: "chart", role: "img" });
  host.append(svg);
  const seen = new ResizeObserver(() => data && paint());
  seen.observe(host);

  function paint() {
    const width = Math.max(Math.round(host.clientWidth), 240);
    const { x, y } = data;
    const wide = Math.max(...y.ticks.map((t) => t.text.length), 1);
    const left = Math.min(12 + wide * LETTER * 0.6, 110);
    const [right, top, bottom] = [14, y.name ? 26 : 12, x.name || x.ends ? 48 : 30];
    const [w, h] = [width - left - right, tall - top - bottom];
    const X = (v) => left + ((v - x.low) / (x.high - x.low || 1)) * w;
    const Y = (v) => top + h - ((v - y.low) / (y.high - y.low || 1)) * h;
    const path = (xs, ys) => xs.map((v, i) => `${i ? "L" : "M"}${X(v).toFixed(1)} ${Y(ys[i]).toFixed(1)}`).join("");
    const words = (text, at, more = {}) => svgEl("text", { x: at[0].toFixed(1), y: at[1].toFixed(1), ...more }, text);
    const hatch = newId("hatch");
    const clip = newId("clip");
    svg.setAttribute("viewBox", `0 0 ${width} ${tall}`);
    svg.setAttribute("width", width);
    svg.setAttribute("height", tall);
    svg.setAttribute("aria-label", data.label);
    const parts = [
      svgEl(
        "defs",
        {},
        svgEl(
          "pattern",
          { id: hatch, width: 6, height: 6, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
          svgEl("line", { x1: 0, y1: 0, x2: 0, y2: 6, class: "chart-hatch" }),
        ),
        svgEl("clipPath", { id: clip }, svgEl("rect", { x: left, y: top, width: w, height: h })),
      ),
      y.ticks.map((t) => [
        svgEl("line", { x1: left, x2: left + w, y1: Y(t.at), y2: Y(t.at), class: "chart-grid" }),
        words(t.text, [left - 6, Y(t.at) + 4], { "text-anchor": "end", class: "chart-quiet" }),
      ]),
      fitting(x.ticks, X).map((t) => [
        svgEl("line", { x1: X(t.at), x2: X(t.at), y1: top + h, y2: top + h + 5, class: "chart-axis" }),
        words(t.text, [X(t.at), top + h + 19], { "text-anchor": "middle", class: "chart-quiet" }),
      ]),
    ];
    const inside = svgEl("g", { "clip-path": `url(#${clip})` });
    if (data.band) {
      const { x: bx, low, high } = data.band;
      const back = [...bx].reverse();
      const d = `${path(bx, high)}${path(back, [...low].reverse()).replace("M", "L")}Z`;
      inside.append(svgEl("path", { d, fill: `url(#${hatch})`, class: "chart-band" }));
    }
    for (const level of data.levels || []) {
      inside.append(svgEl("line", { x1: left, x2: left + w, y1: Y(level.at), y2: Y(level.at), class: "chart-level" }));
    }
    for (const mark of data.marks || []) {
      inside.append(svgEl("line", { x1: X(mark.at), x2: X(mark.at), y1: top, y2: top + h, class: "chart-level" }));
    }
    for (const line of data.lines) {
      const kind = `chart-line${line.strong ? " strong" : ""}`;
      inside.append(svgEl("path", { d: path(line.x, line.y), class: kind, "stroke-dasharray": DASHES[line.dash || "solid"] }));
    }
    parts.push(inside, svgEl("path", { d: `M${left} ${top}V${top + h}H${left + w}`, class: "chart-axis" }));
    if (y.name) parts.push(words(y.name, [left, 14], { class: "chart-name" }));
    if (x.ends) {
      parts.push(words(x.ends[0], [left, tall - 8], { class: "chart-quiet" }));
      parts.push(words(x.ends[1], [left + w, tall - 8], { "text-anchor": "end", class: "chart-quiet" }));
    }
    if (x.name) parts.push(words(x.name, [left + w / 2, tall - 8], { "text-anchor": "middle", class: "chart-name" }));
    for (const mark of data.marks || []) {
      const late = X(mark.at) > left + w * 0.6;
      const at = [X(mark.at) + (late ? -6 : 6), top + 14];
      parts.push(words(mark.text, at, { "text-anchor": late ? "end" : "start", class: "chart-plate" }));
    }
    svg.replaceChildren(...parts.flat(Infinity));
  }

  // Ticks whose lettering would touch the one before are left without.
  function fitting(ticks, X) {
    let end = -Infinity;
    return ticks.filter((t) => {
      const half = (t.text.length * LETTER * 0.56) / 2;
      if (X(t.at) - half < end + 6) return false;
      end = X(t.at) + half;
      return true;
    });
  }

  return {
    draw(now) {
      data = now;
      paint();
    },
    close: () => seen.disconnect(),
  };
}

/** What each line and band is: a small picture of it and its name. */
export function legend(entries) {
  return entries.map(({ name, dash, band, strong }) => {
    const hatch = newId("hatch");
    return svgEl(
      "svg",
      { class: "chart-key", width: 34, height: 14, "aria-hidden": "true", "data-name": name },
      band
        ? [
            svgEl(
              "pattern",
              { id: hatch, width: 6, height: 6, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" },
              svgEl("line", { x1: 0, y1: 0, x2: 0, y2: 6, class: "chart-hatch" }),
            ),
            svgEl("rect", { x: 1, y: 1, width: 32, height: 12, fill: `url(#${hatch})`, class: "chart-band" }),
          ]
        : svgEl("path", { d: "M1 7H33", class: `chart-line${strong ? " strong" : ""}`, "stroke-dasharray": DASHES[dash || "solid"] }),
    );
  });
}

/** Even round steps between two values, near `count` of them; `unit` and `zero` turn them into what people read. */
export function steps(low, high, count = 5) {
  const rough = (high - low || 1) / count;
  const ten = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 2.5, 5, 10].map((k) => k * ten).find((s) => s >= rough) || rough;
  const out = [];
  for (let v = Math.ceil(low / step) * step; v <= high + step * 1e-9; v += step) out.push(Number(v.toPrecision(12)));
  return out;
}
