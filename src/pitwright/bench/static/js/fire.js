// The fire view: what the day, the wood and the inlet do to the heat along the grate, the draft and the wood it takes.

import { chart, legend } from "/static/js/chart.js";
import { el, refill, say, trouble } from "/static/js/dom.js";
import { newId, table } from "/static/js/view_kit.js";

const REST = 60; // ms after the last move of a slider until it is asked for
const LONGER = 600; // ms after which what takes longer is asked for too

export function open(host, desk) {
  let shown = null;
  let warm = null; // the warm-up that fits what is shown, or null
  let over = false;
  let busy = false;
  let again = false;
  let timer = 0;
  let turn = 0; // counts what was asked; only the answer to the last one is shown
  const trial = {};
  const wants = { more: false, bands: false, warm_up: false };
  const rows = new Map();
  const charts = [];

  const controls = el("section", { class: "fire-controls", "aria-label": "The day, the wood and the inlet" });
  const figures = el("dl", { class: "fire-figures" });
  const verdict = el("div", { class: "fire-verdict" });
  const status = el("p", { class: "quiet fire-status", role: "status" }, "Lighting it…");
  const grate = block("Temperature along the grate");
  const draw = block("Draft, step by step");
  const heat = block("Where the heat goes");
  const chokes = block("What chokes");
  const warming = block("Warm-up");
  const findings = block("What was found");
  host.classList.add("fire");
  host.append(
    el("div", { class: "fire-head" }, controls, el("div", {}, status, verdict, figures)),
    grate.whole,
    el("div", { class: "fire-pair" }, draw.whole, heat.whole),
    chokes.whole,
    warming.whole,
    findings.whole,
  );
  const curve = chart(grate.body, { tall: 320 });
  const keys = el("div", { class: "chart-legend" });
  const curveRows = el("div", {});
  grate.whole.append(keys, curveRows);
  charts.push(curve);
  const warmChart = el("div", { hidden: true });
  const warmRows = el("div", {});
  const warmLine = el("p", {});
  const warmButton = el(
    "button",
    {
      type: "button",
      onclick: () => {
        warmButton.disabled = true;
        warmLine.textContent = "Lit cold and tended; this takes a few seconds…";
        ask("warm_up");
      },
    },
    "Show the warm-up",
  );
  const warming_curve = chart(warmChart, { tall: 280 });
  charts.push(warming_curve);
  warming.body.append(warmButton, warmLine, warmChart, warmRows);
  const bandButton = el(
    "button",
    {
      type: "button",
      onclick: () => {
        bandButton.disabled = true;
        status.textContent = "Working out how sure it is; this takes some seconds…";
        ask("bands");
      },
    },
    "How sure is it?",
  );
  grate.head.append(bandButton);

  function block(title) {
    const id = newId("fire");
    const head = el("div", { class: "fire-title" }, el("h2", { id }, title));
    const body = el("div", { class: "fire-body" });
    return { head, body, whole: el("section", { class: "fire-block", "aria-labelledby": id }, head, body) };
  }

  // ---------------------------------------------------------------- asking

  // Something moved: the quick figures at once, the rest when the hand is still.
  function later() {
    for (const key of Object.keys(wants)) wants[key] = false;
    turn += 1;
    clearTimeout(timer);
    timer = setTimeout(fetchFire, REST);
  }

  function ask(flag) {
    wants[flag] = true;
    wants.more = true;
    fetchFire();
  }

  // Quick questions go one at a time, the newest last; a slow one never holds up a quick one, its answer is passed over.
  async function fetchFire() {
    clearTimeout(timer);
    const slow = wants.more || wants.bands || wants.warm_up;
    if (busy && !slow) {
      again = true;
      return;
    }
    turn += 1;
    const mine = turn;
    if (!slow) busy = true;
    host.setAttribute("aria-busy", "true");
    const asked = { ...trial };
    for (const [key, on] of Object.entries(wants)) if (on) asked[key] = true;
    try {
      const answer = await desk.ask(`/api/jobs/${desk.id}/fire`, { method: "POST", body: { trial: asked } });
      if (!over && mine === turn) show(answer);
    } catch (problem) {
      if (!over && mine === turn) {
        refill(verdict, trouble(problem?.error || { message: "The fire could not be worked out." }));
        status.textContent = "";
      }
    }
    if (!slow) busy = false;
    if (over) return;
    if (mine === turn) {
      host.removeAttribute("aria-busy");
      if (!slow) timer = setTimeout(() => ask("more"), LONGER);
    } else if (again && !slow) {
      again = false;
      fetchFire();
    }
  }

  // ---------------------------------------------------------------- showing

  function show(answer) {
    const first = shown === null;
    shown = answer;
    const day = answer.own_day ? "The job's own day." : "A day tried here; small print: the job's own day.";
    status.textContent = `${day} Rests on ${answer.rests_on}${answer.sure ? `; ${answer.sure}` : ""}.`;
    makeControls(answer.sliders || []);
    refill(verdict, answer.burns ? null : trouble({ message: answer.text || "It will not burn as set.", remedy: answer.remedy }));
    refill(
      figures,
      (answer.figures || []).map((f) =>
        el("div", {}, el("dt", {}, f.label), el("dd", {}, f.text, f.sure ? el("small", {}, f.sure) : null, f.own ? el("small", {}, `own day ${f.own}`) : null)),
      ),
    );
    for (const part of [grate, draw, heat, chokes, warming]) part.whole.hidden = !answer.burns;
    if (answer.burns) {
      showCurve(answer.curve);
      showDraw(answer.draw || []);
      showHeat(answer.heat || []);
      showChokes(answer.chokes);
      showWarm(answer.warm_up);
    }
    const found = answer.findings;
    stale(findings, found === null);
    if (found !== null) showFindings(found);
    bandButton.disabled = Boolean(answer.curve?.low);
    if (!first && answer.chokes === null) say((answer.figures || []).slice(0, 2).map((f) => `${f.label} ${f.text}`).join(", "));
  }

  function stale(part, yes) {
    part.body.classList.toggle("fire-stale", yes);
    if (yes) part.body.setAttribute("aria-busy", "true");
    else part.body.removeAttribute("aria-busy");
  }

  function showFindings(found) {
    findings.whole.hidden = !found.length;
    refill(
      findings.body,
      el("ul", { class: "fire-findings" }, found.map((f) => el("li", { class: f.severity }, el("b", {}, WORDS[f.severity] || f.severity), " ", f.text, f.remedy ? ` ${f.remedy}` : ""))),
    );
  }

  function makeControls(sliders) {
    const same = sliders.length === rows.size && sliders.every((s) => rows.has(s.key));
    if (!same) {
      rows.clear();
      for (const s of sliders) rows.set(s.key, s.choices ? choiceRow(s) : numberRow(s));
      refill(controls, el("h2", {}, "Try a day"), [...rows.values()].map((r) => r.node), el("p", { class: "quiet" }, "Tried here only: the job keeps its own day. "), el("button", { type: "button", onclick: back }, "Back to the job's day"));
    }
    for (const s of sliders) rows.get(s.key).tell(s);
  }

  function back() {
    for (const key of Object.keys(trial)) delete trial[key];
    for (const row of rows.values()) row.touched = false;
    later();
  }

  function numberRow(s) {
    const id = newId("trial");
    const range = el("input", { type: "range", id, min: s.low, max: s.high, step: s.step });
    const typed = el("input", { type: "number", min: s.low, max: s.high, step: s.step, "aria-label": `${s.label}, ${UNITS[s.unit] || s.unit}` });
    const row = { touched: false };
    const send = (value) => {
      if (!Number.isFinite(value)) return;
      const kept = Math.min(Math.max(value, Number(range.min)), Number(range.max));
      row.touched = true;
      trial[s.key] = kept;
      put(kept);
      later();
    };
    const put = (value) => {
      range.value = String(value);
      if (document.activeElement !== typed) typed.value = String(value);
      range.setAttribute("aria-valuetext", `${value} ${UNITS[s.unit] || s.unit}`);
    };
    range.addEventListener("input", () => send(Number(range.value)));
    typed.addEventListener("change", () => send(Number(typed.value)));
    row.node = el("div", { class: "fire-slide" }, el("label", { for: id }, s.label), range, el("span", { class: "fire-typed" }, typed, ` ${s.unit}`));
    row.tell = (now) => {
      range.min = typed.min = now.low;
      range.max = typed.max = now.high;
      if (!row.touched) put(now.value);
    };
    return row;
  }

  function choiceRow(s) {
    const id = newId("trial");
    const pick = el("select", { id }, s.choices.map(([key, name]) => el("option", { value: key }, name)));
    for (const [i, [key]] of s.choices.entries()) pick.options[i].value = key;
    const row = { touched: false, node: el("div", { class: "fire-slide" }, el("label", { for: id }, s.label), pick) };
    pick.addEventListener("change", () => {
      row.touched = true;
      trial[s.key] = pick.value;
      later();
    });
    row.tell = (now) => {
      if (!row.touched) pick.value = String(now.value);
    };
    return row;
  }

  function showCurve(c) {
    const y = [...c.gas, ...(c.reading || []), ...(c.low || []), ...(c.high || []), c.wanted].filter((v) => Number.isFinite(v));
    const room = (Math.max(...y) - Math.min(...y)) * 0.06 + 1;
    const ticks = c.up || [];
    const low = Math.min(...y, ...ticks.slice(0, 1).map((t) => t.at)) - (ticks.length ? 0 : room);
    const high = Math.max(...y, ...ticks.slice(-1).map((t) => t.at)) + (ticks.length ? 0 : room);
    const lines = [{ x: c.x, y: c.gas, name: "gas along the middle", strong: true }];
    if (c.reading) lines.push({ x: c.x, y: c.reading, name: "a bare thermometer lying there", dash: "dashed" });
    const band = c.low && c.high ? { x: c.band_x || c.x, low: c.low, high: c.high, name: "nine times in ten" } : null;
    const rows = c.rows || [];
    const ends = rows.length ? `From ${rows[0].gas} at the fire end to ${rows[rows.length - 1].gas} at the far end.` : "";
    curve.draw({
      label: `Temperature along the grate. ${ends} The table under it has the figures.`,
      x: { low: c.x[0], high: c.x[c.x.length - 1], ticks: c.along || [], ends: ["fire end", "far end"] },
      y: { low, high, ticks },
      band,
      lines,
      levels: Number.isFinite(c.wanted) ? [{ at: c.wanted }] : [],
    });
    const names = [
      ...lines,
      ...(band ? [{ name: "nine times in ten", band: true }] : []),
      ...(Number.isFinite(c.wanted) ? [{ name: `wanted${c.wanted_text ? `, ${c.wanted_text}` : ""}`, dash: "chain" }] : []),
    ];
    const pictures = legend(names);
    refill(keys, names.map((n, i) => el("span", {}, pictures[i], n.name)));
    const sure = rows.some((r) => r.band);
    refill(
      curveRows,
      details(
        "As a table",
        table(
          ["from the fire end", "gas", "a bare thermometer", ...(sure ? ["nine times in ten"] : [])],
          rows.map((r) => [r.at, r.gas, r.bare, ...(sure ? [r.band] : [])]),
          { numbers: [1, 2, 3], caption: "Temperature along the grate" },
        ),
        "curve",
      ),
    );
  }

  function showDraw(steps) {
    const most = Math.max(...steps.map((s) => Math.max(s.spent, s.made)), 1e-9);
    refill(
      draw.body,
      bars(
        ["step", "makes (hatched) or takes", "how much", "of the draft"],
        steps.map((s) => ({
          name: s.name,
          share: Math.max(s.spent, s.made) / most,
          made: s.made > s.spent,
          cells: [`${s.made > s.spent ? "makes" : "takes"} ${s.text}`, s.share === null || s.share === undefined ? "" : `${Math.round(100 * s.share)} %`],
          flag: s.chokes ? "chokes most" : "",
        })),
        "Draft, from the air inlet to the top of the stack",
      ),
    );
  }

  function showHeat(shares) {
    const most = Math.max(...shares.map((s) => s.share), 1e-9);
    refill(
      heat.body,
      bars(
        ["where", "share of the wood's heat", "how much", "share"],
        shares.map((s) => ({ name: s.name, share: Math.max(s.share, 0) / most, cells: [s.text, `${Math.round(100 * s.share)} %`] })),
        "Where the wood's heat goes",
      ),
    );
  }

  function showChokes(list) {
    stale(chokes, list === null);
    if (list === null) {
      if (!chokes.body.childNodes.length) refill(chokes.body, el("p", { class: "quiet" }, "Trying every opening a step smaller and larger…"));
      return;
    }
    const tried = (t) => [t.size || "", t.why || "", ...(t.why ? ["", "", "", ""] : [t.spread, t.wood, t.air, t.draft])];
    const lines = list.flatMap((c) => [
      [`${c.name}, as it is`, c.size, c.cost || "", "", "", ""],
      ["smaller", ...tried(c.smaller)],
      ["larger", ...tried(c.larger)],
    ]);
    refill(
      chokes.body,
      el("p", { class: "quiet" }, "Each opening a step smaller and a step larger, all else as it is; the dearest first."),
      table(["opening", "size", "of the draft", "spread", "wood", "air", "draft"], lines, { numbers: [1, 2, 3, 4, 5, 6], caption: "What the next size either way would do" }),
    );
    for (const row of chokes.body.querySelectorAll("tbody tr")) {
      row.classList.toggle("fire-tried", !row.firstChild.textContent.endsWith("as it is"));
    }
  }

  function showWarm(now) {
    warm = now || null;
    warmButton.hidden = Boolean(warm);
    warmButton.disabled = false;
    warmChart.hidden = !warm;
    refill(warmRows);
    if (!warm) {
      warmLine.textContent = "Lit cold and tended to its heat: a curve of the grate over the first hours.";
      return;
    }
    warmLine.textContent = warm.ready?.text || "";
    const top = Math.max(...warm.grate);
    const ticks = warm.up || [];
    const low = Math.min(...warm.grate, ...ticks.slice(0, 1).map((t) => t.at));
    const hours = [];
    const last = warm.t[warm.t.length - 1];
    const end = Number.isFinite(warm.ready?.at) ? Math.min(last, Math.ceil((warm.ready.at + 4500) / 1800) * 1800) : last;
    for (let t = 0; t <= end + 1; t += 1800) hours.push({ at: t, text: `${t / 3600} h` });
    warming_curve.draw({
      label: `Warm-up of the main grate. ${warm.ready?.text || ""} The table under it has the figures.`,
      x: { low: 0, high: end, ticks: warm.across || hours, name: "after lighting" },
      y: { low, high: Math.max(top, ...ticks.slice(-1).map((t) => t.at)), ticks },
      band: null,
      lines: [{ x: warm.t, y: warm.grate, name: "grate", strong: true }],
      marks: Number.isFinite(warm.ready?.at) ? [{ at: warm.ready.at, text: "ready" }] : [],
    });
    const cells = (warm.rows || []).map((r) => [r.after, r.grate, r.fire, r.wood]);
    refill(
      warmRows,
      details("As a table", table(["after", "grate", "fire gas", "wood laid on"], cells, { numbers: [1, 2, 3], caption: "Warm-up from cold" }), "warm"),
    );
    say(warm.ready?.text);
  }

  // ---------------------------------------------------------------- coming and going

  fetchFire();
  return {
    // The pit changed: what was asked for is asked for again.
    picture(p) {
      if (p.full === false) return;
      turn += 1;
      clearTimeout(timer);
      timer = setTimeout(fetchFire, REST);
    },
    close() {
      over = true;
      clearTimeout(timer);
      for (const c of charts) c.close();
      host.classList.remove("fire");
      host.replaceChildren();
    },
  };
}

const WORDS = { stop: "Stop:", warn: "Watch:", note: "Note:", unchecked: "Not checked:" };
const UNITS = { "°F": "degrees Fahrenheit", "°C": "degrees Celsius", "%": "percent" };

function details(title, body, key) {
  return el("details", { "data-key": key }, el("summary", {}, title), body);
}

/** Rows with a bar each, as a table: `{name, share 0..1, made, cells, flag}`. */
function bars(head, rows, caption) {
  const body = rows.map((row) => {
    const bar = el("div", { class: `bar${row.made ? " made" : ""}`, "aria-hidden": "true" });
    bar.style.width = `${Math.max(100 * row.share, 0.5).toFixed(1)}%`;
    return el(
      "tr",
      {},
      el("th", { scope: "row" }, row.name, row.flag ? el("strong", { class: "bar-flag" }, row.flag) : null),
      el("td", { class: "bar-cell" }, bar),
      row.cells.map((c) => el("td", { class: "number" }, c)),
    );
  });
  return el(
    "div",
    { class: "table-host", tabindex: "0", role: "group", "aria-label": caption },
    el(
      "table",
      { class: "bars" },
      el("caption", { class: "unseen" }, caption),
      el("thead", {}, el("tr", {}, head.map((h, i) => el("th", { scope: "col", class: i > 1 ? "number" : null }, h)))),
      el("tbody", {}, body),
    ),
  );
}
