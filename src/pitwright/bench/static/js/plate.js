// A small picture in SVG of points in metres, drawn in the page's own pixels: it is made again when its host changes width.

import { svgEl } from "/static/js/dom.js";

const HALF = Math.sqrt(0.5);

// How a point of the pit [m] falls on the paper, by view; u to the right, v up. `h` is the hand: 1 or -1.
export const EYES = {
  side: (h) => ([x, y, z]) => [-x * h, z],
  "fire end": (h) => ([x, y, z]) => [-y * h, z],
  "stack end": (h) => ([x, y, z]) => [y * h, z],
  plan: (h) => ([x, y]) => [-x * h, -y],
  corner: (h) => ([x, y, z]) => [-x * h * 0.86 + y * 0.5, z * 0.9 - x * h * 0.26 * HALF - y * 0.5 * HALF],
};

/**
 * Keeps a picture in `host`. `draw(tools)` gives its parts; `bounds()` gives the points it must show, as [u, v].
 * tools: {at([u, v]) -> [px, py], scale px per m, width, height, words, line, el}
 */
export function plate(host, { label, tall = 320, edge = 34, bounds, draw }) {
  const svg = svgEl("svg", { class: "plate", role: "img" });
  host.append(svg);
  let last = 0;
  const seen = new ResizeObserver(() => Math.abs(host.clientWidth - last) > 1 && paint());
  seen.observe(host);

  function paint() {
    last = host.clientWidth;
    const width = Math.max(last, 240);
    const points = bounds().filter((p) => p.every(Number.isFinite));
    if (!points.length) return;
    const us = points.map((p) => p[0]);
    const vs = points.map((p) => p[1]);
    const [u0, u1, v0, v1] = [Math.min(...us), Math.max(...us), Math.min(...vs), Math.max(...vs)];
    const room = typeof edge === "function" ? edge(width) : [edge, edge];
    const wide = width - 2 * room[0];
    const scale = Math.min(wide / Math.max(u1 - u0, 1e-6), (tall - 2 * room[1]) / Math.max(v1 - v0, 1e-6));
    const height = Math.min(tall, (v1 - v0) * scale + 2 * room[1]);
    const at = ([u, v]) => [width / 2 + (u - (u0 + u1) / 2) * scale, height / 2 - (v - (v0 + v1) / 2) * scale];
    const n = (v) => Number(v.toFixed(1));
    const tools = {
      at,
      scale,
      width,
      height,
      el: svgEl,
      words: (text, [x, y], attrs = {}) => svgEl("text", { x: n(x), y: n(y), ...attrs }, text),
      line: (a, b, attrs = {}) => svgEl("line", { x1: n(a[0]), y1: n(a[1]), x2: n(b[0]), y2: n(b[1]), ...attrs }),
      path: (list, attrs = {}, closed = false) =>
        svgEl("path", { d: list.map(([x, y], i) => `${i ? "L" : "M"}${n(x)} ${n(y)}`).join("") + (closed ? "Z" : ""), ...attrs }),
    };
    svg.setAttribute("viewBox", `0 0 ${width} ${n(height)}`);
    svg.setAttribute("width", width);
    svg.setAttribute("height", n(height));
    svg.setAttribute("aria-label", typeof label === "function" ? label() : label);
    svg.replaceChildren(...draw(tools).flat(Infinity).filter(Boolean));
  }

  paint();
  return { paint, close: () => seen.disconnect(), svg };
}

/** The mark of a centre of gravity: a round in four quarters, two of them full. */
export function weightMark(tools, [x, y], r = 7, letter = "") {
  const { el } = tools;
  return el(
    "g",
    { class: "plate-weight" },
    el("circle", { cx: x.toFixed(1), cy: y.toFixed(1), r, class: "ground" }),
    el("path", { d: `M${x} ${y}h${r}a${r} ${r} 0 0 0 ${-r} ${-r}ZM${x} ${y}h${-r}a${r} ${r} 0 0 0 ${r} ${r}Z` }),
    letter ? tools.words(letter, [x + r + 3, y + 4], { class: "plate-letter" }) : null,
  );
}

/** Places for labels so that none lies on another: moves each down or up until it is free. */
export function spread(labels, height = 15) {
  const placed = [];
  for (const label of [...labels].sort((a, b) => a.y - b.y)) {
    const wide = label.text.length * 7.2;
    const left = label.anchor === "end" ? label.x - wide : label.anchor === "middle" ? label.x - wide / 2 : label.x;
    let y = label.y;
    for (let i = 0; i < 40; i += 1) {
      const hit = placed.find((p) => Math.abs(p.y - y) < height && left < p.right + 4 && left + wide > p.left - 4);
      if (!hit) break;
      y = hit.y + height;
    }
    placed.push({ ...label, y, left, right: left + wide });
  }
  return placed;
}
