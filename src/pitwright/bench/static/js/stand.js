// The stand view: where the load goes, what each foot carries, when it tips, how it is lifted and how it tows.

import { el, refill, trouble } from "/static/js/dom.js";
import { EYES, plate, spread, weightMark } from "/static/js/plate.js";
import { newId, table } from "/static/js/view_kit.js";

const LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
const WORDS = { stop: "Stop:", warn: "Watch:", note: "Note:", unchecked: "Not checked:" };
const VIEWS = [
  ["corner", "Corner"],
  ["side", "Side"],
  ["fire end", "Fire end"],
  ["stack end", "Stack end"],
];

export function open(host, desk) {
  let data = null;
  let over = false;
  let busy = false;
  let again = false;
  let view = "corner";
  let chosen = ""; // "" is the worst of all cases
  let inHand = null; // the member or piece pointed at
  const plates = [];

  const status = el("p", { class: "quiet", role: "status" }, "Standing it up…");
  const body = el("div", { class: "stand-body" });
  host.classList.add("stand");
  host.append(status, body);

  async function update() {
    if (busy) {
      again = true;
      return;
    }
    busy = true;
    host.setAttribute("aria-busy", "true");
    do {
      again = false;
      try {
        const fresh = await desk.ask(`/api/jobs/${desk.id}/stand`);
        if (!over) show(fresh);
      } catch (problem) {
        if (!over) refill(status, trouble(problem?.error || { message: "How it stands could not be worked out." }));
      }
    } while (again && !over);
    busy = false;
    host.removeAttribute("aria-busy");
  }

  function show(fresh) {
    data = fresh;
    if (chosen && !data.cases.includes(chosen)) chosen = "";
    for (const p of plates.splice(0)) p.close();
    status.textContent = "";
    refill(body, headline(), loadPaths(), tips(), lift(), tow(), hands(), checks(), said());
    for (const make of waiting.splice(0)) plates.push(make());
  }

  const waiting = [];
  // A picture is made once its host stands on the page and has a width.
  function picture(how) {
    const box = el("div", { class: "plate-host" });
    waiting.push(() => plate(box, how));
    return box;
  }

  function block(title, ...inside) {
    const id = newId("stand");
    return el("section", { class: "stand-block", "aria-labelledby": id }, el("h2", { id }, title), ...inside);
  }

  function headline() {
    const { worst } = data;
    return el(
      "div",
      { class: `stand-head${worst.over ? " trouble" : ""}` },
      el("p", { class: "stand-ratio" }, worst.ratio === null ? "over any limit" : worst.ratio.toFixed(2), el("small", {}, " of what it may carry, at the worst")),
      el("p", {}, worst.text, worst.over ? el("b", {}, " Over 1.00: do not build it so.") : null),
    );
  }

  // ---------------------------------------------------------------- load paths and reactions

  const ratioOf = (m) => (m.by.length ? (chosen ? m.by[data.cases.indexOf(chosen)] : m.worst) : null);
  const reactionCase = () => chosen || data.cases[0];

  function loadPaths() {
    const id = newId("case");
    const pick = el(
      "select",
      {
        id,
        onchange: () => {
          chosen = pick.value;
          for (const p of plates) p.paint();
          refill(under, reactions());
        },
      },
      el("option", { value: "" }, "the worst of all, member by member"),
      data.cases.map((c) => el("option", { value: c }, c)),
    );
    pick.value = chosen;
    const under = el("div", {}, reactions());
    const buttons = VIEWS.map(([key, name]) =>
      el(
        "button",
        {
          type: "button",
          "aria-pressed": String(key === view),
          onclick: () => {
            view = key;
            for (const [i, [k]] of VIEWS.entries()) buttons[i].setAttribute("aria-pressed", String(k === view));
            for (const p of plates) p.paint();
          },
        },
        name,
      ),
    );
    return block(
      "Load paths",
      el("div", { class: "stand-tools" }, el("label", { for: id }, "How it stands"), pick, el("div", { class: "stand-views", role: "group", "aria-label": "Look from" }, buttons)),
      picture({ label: frameLabel, tall: 430, edge: (w) => [Math.min(80, w * 0.14), 46], bounds: frameBounds, draw: drawFrame }),
      el("p", { class: "quiet" }, "The thicker the line, the nearer to its limit; 1.00 is the limit. The thin outline is the vessel; double lines carry no ratio of their own. Arrows are what the supports push back."),
      under,
    );
  }

  const eye = () => EYES[view](data.hand);

  function frameLabel() {
    const top = [...data.members].filter((m) => m.by.length).sort((a, b) => ratioOf(b) - ratioOf(a))[0];
    return `The frame as lines, ${chosen || "each member in its worst case"}. ${top ? `Highest: ${top.piece}, ratio ${ratioOf(top).toFixed(2)}.` : ""} The tables below have the figures.`;
  }

  // The vessel as two rounds and the lines between them: what the legs hold up.
  function vesselRings() {
    const { from, to: end, radius } = data.vessel;
    const upright = Math.abs(end[2] - from[2]) > Math.abs(end[0] - from[0]);
    const ring = ([x, y, z]) =>
      Array.from({ length: 33 }, (_, i) => {
        const [s, c] = [radius * Math.sin((i * Math.PI) / 16), radius * Math.cos((i * Math.PI) / 16)];
        return upright ? [x + c, y + s, z] : [x, y + s, z + c];
      });
    return [ring(from), ring(end)];
  }

  function drawVessel(t, to) {
    const rings = vesselRings().map((ring) => ring.map((p) => t.at(to(p))));
    return [
      ...rings.map((ring) => t.path(ring, { class: "frame-vessel" })),
      ...[0, 8, 16, 24].map((i) => t.line(rings[0][i], rings[1][i], { class: "frame-vessel" })),
    ];
  }

  function frameBounds() {
    const to = eye();
    return [
      ...vesselRings().flat().map(to),
      ...data.members.flatMap((m) => [to(m.from), to(m.to)]),
      ...(data.reactions[reactionCase()] || []).filter((r) => r.at).map((r) => to(r.at)),
    ];
  }

  function drawFrame(t) {
    const to = eye();
    const parts = drawVessel(t, to);
    const labels = [];
    const most = new Map();
    for (const m of data.members) {
      const a = t.at(to(m.from));
      const b = t.at(to(m.to));
      const ratio = ratioOf(m);
      const lit = inHand && (m.piece === inHand || m.name === inHand);
      if (ratio === null) {
        parts.push(t.line(a, b, { class: "frame-plain" }), t.line(a, b, { class: "frame-core" }));
        continue;
      }
      const kind = `frame-member${ratio > 1 ? " over" : ""}${lit ? " lit" : ""}`;
      parts.push(t.line(a, b, { class: kind, "stroke-width": (1.5 + 7 * Math.min(ratio, 1.2)).toFixed(1) }, []));
      parts[parts.length - 1].append(t.el("title", {}, `${m.piece}, ${m.name}: ratio ${ratio.toFixed(2)}, ${chosen || m.case}`));
      const held = most.get(m.piece);
      const long = Math.hypot(b[0] - a[0], b[1] - a[1]);
      if (!held || ratio > held.ratio + 1e-9 || (ratio > held.ratio - 1e-9 && long > held.long)) most.set(m.piece, { ratio, long, x: (a[0] + b[0]) / 2, y: (a[1] + b[1]) / 2 });
    }
    for (const [piece, m] of [...most].sort((a, b) => b[1].ratio - a[1].ratio).slice(0, t.width < 500 ? 5 : 10)) {
      labels.push({ x: m.x + 7, y: m.y - 7, anchor: "start", text: `${piece} ${m.ratio.toFixed(2)}`, kind: m.ratio > 1 ? "plate-label over" : "plate-label" });
    }
    const loads = (data.reactions[reactionCase()] || []).filter((r) => r.at);
    const largest = Math.max(...loads.map((r) => Math.abs(r.newtons)), 1);
    const hung = /hung|sling/.test(reactionCase());
    for (const r of loads) {
      if (Math.abs(r.newtons) < 0.005 * largest) {
        const [x, y] = t.at(to(r.at));
        parts.push(t.el("circle", { cx: x.toFixed(1), cy: y.toFixed(1), r: 4, class: "frame-idle" }));
        continue;
      }
      const [x, y] = t.at(to(r.at));
      const long = 12 + 20 * (Math.abs(r.newtons) / largest);
      const down = hung ? -1 : 1;
      parts.push(t.path([[x, y + down * long], [x, y + down * 3]], { class: "frame-force" }));
      parts.push(t.path([[x - 4, y + down * 9], [x, y + down * 2], [x + 4, y + down * 9]], { class: "frame-head" }, true));
      labels.push({ x, y: y + down * long + (down > 0 ? 14 : -5), anchor: "middle", text: r.text, kind: "plate-label force" });
    }
    for (const l of spread(labels)) {
      const wide = l.text.length * 7.2;
      const x = Math.min(Math.max(l.x, l.anchor === "middle" ? wide / 2 : 2), t.width - (l.anchor === "middle" ? wide / 2 : wide));
      parts.push(t.words(l.text, [x, Math.min(Math.max(l.y, 12), t.height - 3)], { "text-anchor": l.anchor, class: l.kind }));
    }
    return parts;
  }

  function reactions() {
    const list = data.reactions[reactionCase()] || [];
    return el(
      "details",
      { "data-key": "reactions", open: true },
      el("summary", {}, `What each support carries: ${reactionCase()}`),
      table(["support", "carries"], list.map((r) => [r.name, r.text]), { numbers: [1], caption: `Reactions, ${reactionCase()}, pit ${data.state}` }),
    );
  }

  // ---------------------------------------------------------------- tipping

  function tips() {
    const { tip } = data;
    const letter = (i) => LETTERS[i];
    const side = tip.states.length ? tip.states.reduce((a, b) => (parseFloat(b.angle) < parseFloat(a.angle) ? b : a)) : null;
    const to = EYES.plan(data.hand);
    return block(
      "Tipping",
      picture({
        label: () => `The feet from above with the weight of the pit in ${tip.states.length} states. ${side ? `Least tip angle ${side.angle}, ${side.state}, over the side from ${side.over}.` : ""}`,
        tall: 300,
        edge: (w) => [Math.min(70, w * 0.12), 40],
        bounds: () => [...tip.outline, ...tip.feet.map((f) => f.at), ...tip.states.map((s) => s.at)].map(to),
        draw: (t) => {
          const upper = []; // names over the feet: spread upward
          const lower = [];
          const spots = tip.outline.map((p) => t.at(to(p)));
          const parts = [t.path(spots, { class: "tip-outline" }, true)];
          if (side) parts.push(t.line(t.at(to(side.side[0])), t.at(to(side.side[1])), { class: "tip-side" }));
          for (const f of tip.feet) {
            const [x, y] = t.at(to(f.at));
            parts.push(t.el("rect", { x: (x - 4).toFixed(1), y: (y - 4).toFixed(1), width: 8, height: 8, class: "tip-foot" }));
            const up = y <= t.height / 2;
            const half = f.name.length * 3.6;
            const inside = Math.min(Math.max(x, half), t.width - half);
            if (t.width >= 560) (up ? upper : lower).push({ x: inside, y: up ? -(y - 10) : y + 20, anchor: "middle", text: f.name });
          }
          const heaps = new Map();
          for (const [i, s] of tip.states.entries()) {
            const p = t.at(to(s.at));
            const near = [...heaps.values()].find((h) => Math.hypot(h.p[0] - p[0], h.p[1] - p[1]) < 18);
            if (near) near.letters += ` ${letter(i)}`;
            else heaps.set(i, { p, letters: letter(i) });
          }
          for (const { p, letters } of heaps.values()) parts.push(weightMark(t, p, 7, letters));
          for (const l of [...spread(upper).map((l) => ({ ...l, y: -l.y })), ...spread(lower)]) {
            parts.push(t.words(l.text, [l.x, l.y], { "text-anchor": "middle", class: "plate-name" }));
          }
          return parts;
        },
      }),
      el("p", { class: "quiet" }, "From above, working side at the bottom. The heavy side is the one it goes over first; letters are the states below."),
      table(
        ["mark", "state", "weight", "tips at", "over the side", "push that tips it", "wind"],
        tip.states.map((s, i) => [letter(i), s.state, s.mass, s.angle, s.over, s.push, s.wind]),
        { numbers: [2, 3, 5, 6], caption: `Tip angles on ${tip.ground}` },
      ),
      tip.slides.length > 1 ? el("p", {}, `With slides out one after another: ${tip.slides.map((a, i) => `${i} out ${a}`).join(", ")}.`) : null,
    );
  }

  // ---------------------------------------------------------------- lifting

  function lift() {
    const { lift: l } = data;
    if (!l) return null;
    const to = EYES.side(data.hand);
    return block(
      "Lifting",
      l.slings.length
        ? picture({
            label: `From the side: hook over the weight, ${l.slings.length} slings. The table has lengths, angles and pulls.`,
            tall: 340,
            edge: (w) => [Math.min(110, w * 0.2), 30],
            bounds: () => [to(l.hook), to(l.centre), ...l.slings.flatMap((s) => [to(s.from), to(s.to)]), ...vesselRings().flat().map(to), ...data.members.flatMap((m) => [to(m.from), to(m.to)])],
            draw: (t) => {
              const parts = drawVessel(t, to);
              for (const m of data.members) parts.push(t.line(t.at(to(m.from)), t.at(to(m.to)), { class: "lift-frame" }));
              const labels = [];
              for (const s of l.slings) {
                const a = t.at(to(s.from));
                const b = t.at(to(s.to));
                parts.push(t.line(a, b, { class: "lift-sling" }), t.el("circle", { cx: a[0].toFixed(1), cy: a[1].toFixed(1), r: 4, class: "tip-foot" }));
                const left = a[0] < b[0];
                labels.push({ x: a[0] * 0.6 + b[0] * 0.4 + (left ? -8 : 8), y: a[1] * 0.6 + b[1] * 0.4, anchor: left ? "end" : "start", text: s.tension, kind: "plate-label" });
              }
              const hook = t.at(to(l.hook));
              parts.push(t.path([[hook[0], hook[1] - 16], [hook[0], hook[1] - 5]], { class: "lift-hook" }), t.el("circle", { cx: hook[0].toFixed(1), cy: hook[1].toFixed(1), r: 5, class: "lift-ring" }));
              const weight = t.at(to(l.centre));
              parts.push(t.line(hook, weight, { class: "chart-level" }), weightMark(t, weight, 9));
              labels.push({ x: weight[0] + 14, y: weight[1] + 5, anchor: "start", text: l.weight, kind: "plate-label" });
              const seen = new Set();
              for (const x of spread(labels.filter((x) => !seen.has(`${x.text}${Math.round(x.x)}${Math.round(x.y)}`) && seen.add(`${x.text}${Math.round(x.x)}${Math.round(x.y)}`)))) {
                parts.push(t.words(x.text, [x.x, x.y], { "text-anchor": x.anchor, class: x.kind }));
              }
              return parts;
            },
          })
        : null,
      l.slings.length
        ? table(
        ["sling", "length", "off level", "pull, all sharing", "pull, one pair alone"],
        l.slings.map((s) => [s.name, s.length, s.angle, s.tension, s.alone]),
        { numbers: [1, 2, 3, 4], caption: `Slings for the empty pit, ${l.weight}` },
          )
        : el("p", {}, "This pit is not slung."),
      l.slings.length && el(
        "ul",
        {},
        l.spreader ? el("li", {}, `Spreader over the shell, ${l.spreader} wide or more.`) : null,
        el("li", {}, `Least rope: ${l.rope}.`),
        el("li", {}, `With equal slings it hangs ${l.equal} off level along the pit; from side to side ${l.askew}.`),
      ),
      l.shares ? el("p", {}, `Forks in the pockets carry ${l.shares.join(" and ")} of it.`) : null,
      l.forks.length
        ? table(
            ["on forks", "load centre", "forks at least", "the usual truck lifts there", "the pit weighs", "rolls off at"],
            l.forks.map((f) => [`${f.way}${f.fits ? "" : " (too heavy there)"}`, f.centre, f.reach, f.capacity, f.mass, f.tilt]),
            { numbers: [1, 2, 3, 4, 5], caption: "On forks" },
          )
        : null,
    );
  }

  // ---------------------------------------------------------------- towing and handles

  function tow() {
    const { tow: w } = data;
    if (!w) return null;
    const most = Math.max(0.22, ...w.states.map((s) => s.share + 0.02));
    const least = Math.min(0, ...w.states.map((s) => s.share - 0.02));
    return block(
      "Towing",
      w.fit ? null : trouble({ message: "A tongue weight is out of all range: no frame is built so." }),
      picture({
        label: `Tongue weight as a share of the trailer, by state: ${w.states.map((s) => `${s.state} ${s.text}`).join(", ")}. 10 to 15 percent tows well.`,
        tall: 60 + 30 * w.states.length,
        edge: () => [10, 10],
        bounds: () => [[0, 0], [1, 1]],
        draw: (t) => {
          const left = Math.min(170, t.width * 0.42);
          const high = 60 + 30 * w.states.length;
          const X = (share) => left + ((share - least) / (most - least)) * (t.width - left - 56);
          const hatch = newId("hatch");
          const parts = [
            t.el("pattern", { id: hatch, width: 6, height: 6, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, t.el("line", { x1: 0, y1: 0, x2: 0, y2: 6, class: "chart-hatch" })),
            t.el("rect", { x: X(w.good[0]), y: 22, width: X(w.good[1]) - X(w.good[0]), height: high - 44, fill: `url(#${hatch})`, class: "chart-band" }),
            t.words("tows well", [(X(w.good[0]) + X(w.good[1])) / 2, 14], { "text-anchor": "middle", class: "chart-quiet" }),
            w.refuse.map((r) => t.line([X(r), 22], [X(r), high - 22], { class: "tow-refuse" })),
            [...w.refuse, ...w.good].map((r) => t.words(`${Math.round(100 * r)} %`, [X(r), high - 6], { "text-anchor": "middle", class: "chart-quiet" })),
          ];
          for (const [i, s] of w.states.entries()) {
            const y = 44 + 30 * i;
            parts.push(
              t.words(s.state, [8, y + 4]),
              t.line([left, y], [X(s.share), y], { class: "tow-line" }),
              t.el("path", { d: `M${X(s.share)} ${y - 7}l7 7l-7 7l-7 -7Z`, class: "tow-mark" }),
              t.words(s.text, [X(s.share) + 11, y + 4], { class: "plate-label" }),
            );
          }
          return parts;
        },
      }),
      table(["state", "at the coupler", "of the whole", "on the axles", "whole"], w.states.map((s) => [s.state, s.tongue, s.text, s.axle, s.mass]), { numbers: [1, 2, 3, 4], caption: "Tongue weight" }),
      table(["to be bought", "rated at least"], w.ratings.map((r) => [r.label, r.text]), { numbers: [1], caption: "Ratings" }),
      el("p", {}, `Axle ${w.place}; the middle of the range is ${w.best}. A bend tips it at a side pull of ${w.roll}.`),
    );
  }

  function hands() {
    const { hands: h } = data;
    if (!h) return null;
    return block(
      "At the handles",
      table(["state", "the hands lift"], h.states.map((s) => [s.state, s.text]), { numbers: [1], caption: "Lift at the handles" }),
      el("p", {}, `${h.people === 1 ? "One person" : `${h.people} people`} to move it; one person is advised to lift no more than ${h.advised}.`),
    );
  }

  // ---------------------------------------------------------------- checks and words

  function checks() {
    const rows = data.checks.map((c) => {
      const bar = el("div", { class: "bar", "aria-hidden": "true" });
      bar.style.width = `${Math.min(100, 100 * (c.ratio ?? 1.5)).toFixed(1)}%`;
      const ratio = c.ratio === null ? "over any limit" : c.ratio.toFixed(2);
      const row = el(
        "tr",
        { class: c.passes ? null : "over" },
        el("th", { scope: "row" }, el("button", { type: "button", class: "link", onclick: () => point(c.piece) }, c.piece)),
        el("td", {}, c.name, el("small", { class: "quiet" }, c.case)),
        el("td", { class: "bar-cell" }, bar),
        el("td", { class: "number" }, ratio, c.passes ? null : el("b", {}, " over")),
        el("td", {}, c.text),
        el("td", {}, el("small", {}, `${c.equation}; ${c.source}`)),
      );
      row.addEventListener("pointerenter", () => point(c.piece));
      return row;
    });
    return block(
      "Every piece at its worst",
      el(
        "div",
        { class: "table-host", tabindex: "0", role: "group", "aria-label": "Checks" },
        el(
          "table",
          { class: "bars wide stand-checks" },
          el("caption", { class: "unseen" }, "The worst check of every piece, the worst piece first"),
          el("thead", {}, el("tr", {}, ["piece", "check and case", "to its limit", "ratio", "asked of allowed", "equation and source"].map((h) => el("th", { scope: "col" }, h)))),
          el("tbody", {}, rows),
        ),
      ),
    );
  }

  function point(piece) {
    if (inHand === piece) return;
    inHand = piece;
    plates[0]?.paint();
  }

  function said() {
    return [
      data.findings.length
        ? block("What was found", el("ul", { class: "stand-findings" }, data.findings.map((f) => el("li", { class: f.severity }, el("b", {}, WORDS[f.severity] || f.severity), " ", f.text, f.remedy ? ` ${f.remedy}` : ""))))
        : null,
      block("Cautions", el("ul", {}, data.cautions.map((c) => el("li", {}, c))), data.not_made.length ? el("p", { class: "quiet" }, `Not checked: ${data.not_made.join("; ")}.`) : null),
    ];
  }

  update();
  return {
    picture: (p) => p.full !== false && update(),
    close() {
      over = true;
      for (const p of plates) p.close();
      host.classList.remove("stand");
      host.replaceChildren();
    },
  };
}
