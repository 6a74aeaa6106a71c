// The board: one drawing with what can be taken on it. Zooms, pans, shows live dimensions and the places of findings.
// All places are metres of the drawing (u to the right, v up); `k` is screen pixels to a metre.

import { el, svgEl, refill } from "/static/js/dom.js";
import { apart, besideAll, clearHeight } from "/static/js/apart.js";
import { Hold } from "/static/js/hold.js";
import { plainSteps, stepsOf } from "/static/js/steps.js";

const NEAR = 1.3; // one step of zoom
const COARSE = matchMedia("(pointer: coarse)");
const SMALL = 480; // a board narrower than this has no room for grips set aside: they come out as one zooms in [px]
const FEW = 3;
const FOOT = 44; // room for the hint and the zoom buttons under a whole drawing [px]
const ICONS = {
  along: "M-6 0H6M-6 0l3-3M-6 0l3 3M6 0l-3-3M6 0l-3 3",
  across: "M0 -6V6M0 -6l-3 3M0 -6l3 3M0 6l-3-3M0 6l3-3",
  both: "M-6 0H6M0 -6V6M-6 0l2-2M-6 0l2 2M6 0l-2-2M6 0l-2 2M0 -6l-2 2M0 -6l2 2M0 6l-2-2M0 6l2-2",
  arc: "M-6 3A8 8 0 0 1 6 3M-6 3l0-4M-6 3l4 0M6 3l0-4M6 3l-4 0",
};

export class Board {
  /** `on`: {drag, drop, cancel, type, why, hand, hint, step} (see job.js). */
  constructor(host, on) {
    this.on = on;
    this.host = host;
    this.paper = el("div", { class: "paper" });
    this.over = svgEl("svg", { class: "over", "aria-hidden": "true" });
    this.marks = el("div", { class: "marks", "aria-hidden": "true" });
    this.chips = el("div", { class: "chips" });
    this.grips = el("div", { class: "grips" });
    host.append(this.paper, this.over, this.marks, this.chips, this.grips);
    this.svg = null;
    this.place = null; // {u, v, k}
    this.view = "";
    this.bounds = null;
    this.roomy = false; // true once the user zoomed or panned
    this.handles = new Map(); // id -> {data, node}
    this.hold = new Hold(this, on);
    this.fingers = new Map();
    this.lit = null;
    new ResizeObserver(() => this.resized()).observe(host);
    host.addEventListener("wheel", (e) => this.wheel(e), { passive: false });
    host.addEventListener("pointerdown", (e) => this.down(e));
    host.addEventListener("pointermove", (e) => this.move(e));
    for (const name of ["pointerup", "pointercancel"]) host.addEventListener(name, (e) => this.up(e));
    host.addEventListener("dblclick", (e) => {
      if (e.target.closest(".grip, .chip, form")) return;
      const [x, y] = this.local(e);
      this.zoom(NEAR * NEAR, x, y);
    });
    host.addEventListener("keydown", (e) => this.key(e));
  }

  /** Shows one view of a picture. The zoom stays, but for a new view, or a whole drawing that no longer fits. */
  show(view, content, live, findings, { full = true } = {}) {
    const fresh = view !== this.view;
    this.view = view;
    if (content?.svg) this.draw(content.svg);
    if (fresh) {
      this.roomy = false;
      this.fitted = null;
      this.hold.forget();
    }
    if (fresh || !this.place || (full && !this.roomy && !this.hold.busy && this.outgrown())) this.fit();
    if (full) this.fitted ??= this.bounds;
    this.setHandles(content?.handles ?? []);
    this.live = (live ?? []).filter((d) => d.view === view);
    this.findings = (findings ?? []).filter((f) => f.place?.view === view && f.place.at);
    this.paint();
  }

  clear() {
    this.view = "";
    this.svg = null;
    this.paper.replaceChildren();
    this.setHandles([]);
    this.live = [];
    this.findings = [];
    this.paint();
  }

  draw(text) {
    const parsed = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
    if (parsed.nodeName !== "svg") return;
    const svg = document.importNode(parsed, true);
    const [x, y, w, h] = svg.getAttribute("viewBox").split(/\s+/).map(Number);
    this.scale = 1000 * Number(svg.dataset.ratio);
    this.dx = Number(svg.dataset.x);
    this.dy = Number(svg.dataset.y);
    this.bounds = { u0: (x - this.dx) / this.scale, u1: (x + w - this.dx) / this.scale,
                    v0: (this.dy - y - h) / this.scale, v1: (this.dy - y) / this.scale }; // prettier-ignore
    svg.setAttribute("width", "100%");
    svg.setAttribute("height", "100%");
    svg.setAttribute("aria-hidden", "true");
    svg.setAttribute("focusable", "false");
    this.svg = svg;
    this.paper.replaceChildren(svg);
  }

  get size() {
    return [this.host.clientWidth || 1, this.host.clientHeight || 1];
  }

  /** Whether the drawing is by more than a hair larger or smaller than what was last fitted. */
  outgrown() {
    const { bounds: b, fitted: f } = this;
    if (!b || !f) return true;
    const hair = 0.02 * Math.max(f.u1 - f.u0, f.v1 - f.v0);
    return ["u0", "u1", "v0", "v1"].some((k) => Math.abs(b[k] - f[k]) > hair);
  }

  fit() {
    if (!this.bounds) return;
    this.fitted = this.bounds;
    const [w, h] = this.size;
    const { u0, u1, v0, v1 } = this.bounds;
    const k = Math.min(w / (u1 - u0), Math.max(h - FOOT, 40) / (v1 - v0));
    this.place = { u: (u0 + u1) / 2, v: (v0 + v1) / 2 - FOOT / 2 / k, k };
    this.least = this.place.k * 0.5;
    this.most = this.place.k * 40;
  }

  resized() {
    if (!this.roomy) this.fit();
    this.paint();
  }

  /** Metres -> pixels on the board. */
  at(u, v) {
    const [w, h] = this.size;
    return [w / 2 + (u - this.place.u) * this.place.k, h / 2 - (v - this.place.v) * this.place.k];
  }

  /** Pixels on the board -> metres. */
  metres(x, y) {
    const [w, h] = this.size;
    return [this.place.u + (x - w / 2) / this.place.k, this.place.v - (y - h / 2) / this.place.k];
  }

  local(event) {
    const box = this.host.getBoundingClientRect();
    return [event.clientX - box.left - this.host.clientLeft, event.clientY - box.top - this.host.clientTop];
  }

  zoom(by, x = this.size[0] / 2, y = this.size[1] / 2) {
    if (!this.place) return;
    const [u, v] = this.metres(x, y);
    const k = Math.max(this.least, Math.min(this.most, this.place.k * by));
    const f = this.place.k / k;
    this.place = { u: u + (this.place.u - u) * f, v: v + (this.place.v - v) * f, k };
    this.roomy = true;
    this.paint();
  }

  pan(dx, dy) {
    if (!this.place) return;
    this.place = { ...this.place, u: this.place.u - dx / this.place.k, v: this.place.v + dy / this.place.k };
    this.roomy = true;
    this.paint();
  }

  whole() {
    this.roomy = false;
    this.fit();
    this.paint();
  }

  /** Brings everything on the board to where the zoom has it. */
  paint() {
    this.host.classList.toggle("zoomed", this.roomy);
    const [w, h] = this.size;
    if (this.svg && this.place) {
      const s = this.place.k / this.scale;
      const cx = this.place.u * this.scale + this.dx;
      const cy = this.dy - this.place.v * this.scale;
      this.svg.setAttribute("viewBox", `${cx - w / 2 / s} ${cy - h / 2 / s} ${w / s} ${h / s}`);
    }
    this.over.setAttribute("viewBox", `0 0 ${w} ${h}`);
    if (!this.hold.busy) this.spread();
    for (const { data, node } of this.handles.values()) this.put(node, this.hold.where(data) ?? data.at);
    this.paintLive();
    this.paintFindings();
    this.on.moved?.();
  }

  /** Sets grips that would lie on each other apart, so that each can be hit. */
  spread() {
    if (!this.place) return;
    const entries = [...this.handles.values()];
    const spots = entries.map(({ data }) => ({ at: this.at(...data.at), moves: data.moves }));
    const offs = apart(spots, this.size, COARSE.matches ? 37 : 29);
    this.crowded = this.size[0] < SMALL && offs.filter((off) => off.some(Boolean)).length > FEW;
    offs.forEach((off, i) => {
      const { node } = entries[i];
      node.off = off;
      node.hidden = this.crowded && off.some(Boolean) && !node.contains(document.activeElement);
    });
  }

  put(node, [u, v]) {
    if (!this.place) return;
    const off = node.off ?? [0, 0];
    const [x, y] = this.at(u, v).map((c, i) => c + off[i]);
    node.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px)`;
    const near = Math.min(190, this.size[0] / 2);
    node.classList.toggle("left", x < near);
    node.classList.toggle("right", x >= this.size[0] - near);
    node.classList.toggle("high", y < 60);
  }

  setHandles(list) {
    const held = this.hold.id;
    const seen = new Set();
    for (const data of list) {
      seen.add(data.id);
      const had = this.handles.get(data.id);
      const node = had?.node ?? this.grip(data);
      data.steps = stepsOf(data) ?? had?.data.steps ?? plainSteps(data, this.on.step());
      this.handles.set(data.id, { data, node });
      this.dressGrip(node, data);
    }
    for (const [id, { node }] of this.handles) {
      if (seen.has(id) || id === held) continue;
      if (node === document.activeElement) this.host.focus({ preventScroll: true });
      node.remove();
      this.handles.delete(id);
    }
  }

  grip(data) {
    const node = el(
      "div",
      { class: "grip", role: "slider", tabindex: "0", "data-handle": data.id, "data-key": `grip ${data.id}` },
      svgEl("svg", { viewBox: "-14 -14 28 28", "aria-hidden": "true", focusable: "false" },
        svgEl("rect", { x: -8, y: -8, width: 16, height: 16, rx: 2 }), svgEl("path", { d: ICONS[data.moves] ?? ICONS.both })),
      el("span", { class: "tag", "aria-hidden": "true" }),
    );
    node.addEventListener("pointerdown", (e) => this.hold.take(e, data.id));
    node.addEventListener("keydown", (e) => this.hold.key(e, data.id));
    node.addEventListener("blur", () => this.hold.settle());
    node.addEventListener("focus", () => {
      const now = this.handles.get(data.id)?.data;
      if (now) this.on.hint(`${now.label}: ${now.keys ?? "arrow keys move it, Enter types a value"}`);
    });
    this.grips.append(node);
    return node;
  }

  dressGrip(node, data) {
    const main = data.moves === "across" ? data.at[1] : data.at[0];
    node.setAttribute("aria-label", data.label);
    node.setAttribute("aria-orientation", data.moves === "across" ? "vertical" : "horizontal");
    node.setAttribute("aria-valuenow", String(Math.round(main * 1e4) / 1e4));
    node.setAttribute("aria-valuetext", data.text || data.label);
    node.querySelector(".tag").textContent = data.text ? `${data.label}  ${data.text}` : data.label;
    node.classList.toggle("held", data.id === this.hold.id);
    node.classList.toggle("fixed", Boolean(data.fixed));
  }

  paintLive() {
    const lines = [];
    const chips = [];
    const boxes = []; // what a figure must not lie on: [x, y, half width, half height]
    if (this.place) {
      for (const { data, node } of this.handles.values()) {
        if (node.hidden) continue;
        const [x, y] = this.at(...(this.hold.where(data) ?? data.at)).map((c, i) => c + (node.off?.[i] ?? 0));
        boxes.push([x, y, 14, 14]);
      }
      for (const { data, node } of this.handles.values()) {
        if (node.hidden || !node.off?.some(Boolean)) continue;
        const [x, y] = this.at(...(this.hold.where(data) ?? data.at));
        lines.push(svgEl("path", { d: `M${x} ${y}l${node.off[0]} ${node.off[1]}`, class: "tie" }), svgEl("circle", { cx: x, cy: y, r: 2.5, class: "tie" }));
      }
      for (const d of this.live ?? []) {
        const [x0, y0] = this.at(...d.from);
        const [x1, y1] = this.at(...d.to);
        lines.push(svgEl("path", { d: `M${x0} ${y0}L${x1} ${y1}`, class: "live" }));
        for (const [x, y] of [[x0, y0], [x1, y1]]) lines.push(svgEl("circle", { cx: x, cy: y, r: 3, class: "live" }));
        const chip = el("button", { type: "button", class: "chip", "data-key": `live ${d.name}`,
          "aria-label": `${d.label ?? d.name}: ${d.text}. Type a value` }, d.text); // prettier-ignore
        chip.addEventListener("click", () => this.on.type(d.name, d.text, chip));
        const [w, h] = this.size;
        const x = Math.max(34, Math.min(w - 34, (x0 + x1) / 2));
        const half = 10 + 5.5 * d.text.length;
        const y = clearHeight(x, Math.max(18, Math.min(h - 18, (y0 + y1) / 2)), half, h, boxes);
        boxes.push([x, y, half, 14]);
        chip.style.transform = `translate(${x.toFixed(1)}px, ${y.toFixed(1)}px) translate(-50%, -50%)`;
        chips.push(chip);
      }
    }
    if (this.lit && this.place && this.lit.view === this.view) {
      const [x, y] = this.at(...this.lit.at);
      lines.push(svgEl("circle", { cx: x, cy: y, r: 26, class: "lit" }), svgEl("path", { d: `M${x - 40} ${y}h24M${x + 16} ${y}h24M${x} ${y - 40}v24M${x} ${y + 16}v24`, class: "lit" }));
    }
    this.over.replaceChildren(...lines);
    refill(this.chips, chips);
  }

  paintFindings() {
    const signs = { stop: "✕", warn: "!", note: "i", unchecked: "?" };
    const taken = [...this.handles.values()].filter(({ node }) => !node.hidden).map(({ data, node }) => {
      const [x, y] = this.place ? this.at(...(this.hold.where(data) ?? data.at)) : [0, 0];
      return [x + (node.off?.[0] ?? 0), y + (node.off?.[1] ?? 0)];
    });
    this.marks.replaceChildren(
      ...(this.place ? (this.findings ?? []) : []).filter((f) => !this.crowded || f.severity !== "note").map((f) => {
        const [x, y] = this.at(...f.place.at);
        const [dx, dy] = besideAll(x, y, taken);
        taken.push([x + dx, y + dy]);
        const node = el("span", { class: `sign ${f.severity}` }, signs[f.severity] ?? "i");
        node.style.transform = `translate(${(x + dx).toFixed(1)}px, ${(y + dy).toFixed(1)}px) translate(-50%, -50%)`;
        return node;
      }),
    );
  }

  /** Rings the place of a finding; null puts the ring away. */
  light(place) {
    this.lit = place;
    this.paintLive();
  }

  wheel(event) {
    if (!event.ctrlKey && document.documentElement.scrollHeight > innerHeight + 4) return;
    event.preventDefault();
    const [x, y] = this.local(event);
    this.zoom(Math.exp(-event.deltaY * (event.deltaMode ? 0.05 : 0.0016)), x, y);
  }

  down(event, second = false) {
    if (!second && (event.button || event.target.closest(".grip, .chip, form, button"))) return;
    if (!second && this.hold.id !== null && !this.hold.keys) {
      this.hold.second(event);
      return;
    }
    const [x, y] = this.local(event);
    this.fingers.set(event.pointerId, { x, y, x0: x, y0: y, target: event.target });
    this.host.setPointerCapture(event.pointerId);
  }

  move(event) {
    const finger = this.fingers.get(event.pointerId);
    if (!finger) return;
    const [x, y] = this.local(event);
    if (this.fingers.size === 1) {
      if (!finger.gone && Math.hypot(x - finger.x0, y - finger.y0) < 4) return;
      finger.gone = true;
      this.pan(x - finger.x, y - finger.y);
      Object.assign(finger, { x, y });
    } else if (this.fingers.size === 2) {
      const [other] = [...this.fingers].filter(([id]) => id !== event.pointerId).map(([, f]) => f);
      const before = Math.hypot(finger.x - other.x, finger.y - other.y);
      const after = Math.hypot(x - other.x, y - other.y);
      this.pan((x - finger.x) / 2, (y - finger.y) / 2);
      if (before > 8) this.zoom(after / before, (x + other.x) / 2, (y + other.y) / 2);
      Object.assign(finger, { x, y, gone: true });
    }
  }

  up(event) {
    const finger = this.fingers.get(event.pointerId);
    this.fingers.delete(event.pointerId);
    if (!finger || finger.gone || event.type === "pointercancel") return;
    const about = finger.target.closest?.("[data-about]");
    if (!about) return;
    if (about.nodeName === "text") this.on.type(about.dataset.about, about.textContent, about);
    else this.on.why(about.dataset.about);
  }

  /** Keys of the drawing itself; only while it has the focus. */
  key(event) {
    if (event.ctrlKey || event.metaKey || event.altKey || event.target.closest("input, form")) return;
    const onText = event.target.nodeName === "text";
    if (event.target !== this.host && !onText && !event.target.closest(".grip")) return;
    const far = event.shiftKey ? 200 : 50;
    const acts = {
      "+": () => this.zoom(NEAR),
      "=": () => this.zoom(NEAR),
      "-": () => this.zoom(1 / NEAR),
      0: () => this.whole(),
      d: () => this.walk(1),
      D: () => this.walk(-1),
      "?": () => this.on.help(),
    };
    if (event.target === this.host || onText) {
      Object.assign(acts, {
        ArrowLeft: () => this.pan(far, 0),
        ArrowRight: () => this.pan(-far, 0),
        ArrowUp: () => this.pan(0, far),
        ArrowDown: () => this.pan(0, -far),
      });
    }
    if (onText) {
      acts.Enter = () => this.on.type(event.target.dataset.about, event.target.textContent, event.target);
      acts.Escape = () => this.host.focus();
    }
    const act = acts[event.key] ?? (/^[1-9]$/.test(event.key) ? () => this.on.view(Number(event.key) - 1) : null);
    if (!act) return;
    event.preventDefault();
    act();
  }

  /** Takes the focus to the next dimension of the drawing that can be typed on. */
  walk(step) {
    if (!this.svg) return;
    const texts = [...this.svg.querySelectorAll("text[data-about]")];
    if (!texts.length) return;
    const i = texts.indexOf(document.activeElement);
    const next = texts[i < 0 ? (step > 0 ? 0 : texts.length - 1) : (i + step + texts.length) % texts.length];
    this.svg.removeAttribute("aria-hidden");
    next.setAttribute("tabindex", "-1");
    next.setAttribute("role", "button");
    next.setAttribute("aria-label", `${this.on.label(next.dataset.about)}: ${next.textContent}. Type a value`);
    next.focus({ preventScroll: true });
    this.on.hint(`${this.on.label(next.dataset.about)}: ${next.textContent}. Enter types a value; d goes to the next.`);
  }
}
