// The page of one job: it holds the last picture, sends changes, and hands every part what it shows.

import { $, $$, el, refill, say, trouble } from "/static/js/dom.js";
import { fetchJson, Live, rid, Trouble } from "/static/js/talk.js";
import { schemeSwitch } from "/static/js/prefs.js";
import { Board } from "/static/js/board.js";
import { Inputs } from "/static/js/inputs.js";
import { movesOf, Strip } from "/static/js/strip.js";
import { Findings, showFigures, showHistory, showWhy } from "/static/js/panels.js";
import { Compare } from "/static/js/compare.js";
import { typeOn } from "/static/js/typed.js";
import { pick } from "/static/js/conflict.js";
import { help } from "/static/js/help.js";
import { shopFloor } from "/static/js/share.js";
import { openPack, openStage } from "/static/js/stage.js";
import { line, notice, setFold, showTab, stepButtons, wireFrame } from "/static/js/frame.js";

const job = decodeURIComponent(location.pathname.split("/").filter(Boolean)[1] ?? "");
const base = `/api/jobs/${encodeURIComponent(job)}`;
const DRAWN = ["side", "stack end", "fire end", "plan", "wrap map"];
const VIEWS = [
  ...DRAWN.map((v) => ({ key: v, label: { side: "Side", "stack end": "Stack end", "fire end": "Fire end", plan: "Plan", "wrap map": "Wrap map" }[v] })),
  { key: "solid", label: "3-D" },
  { key: "fire", label: "Fire" },
  { key: "stand", label: "Stand" },
  { key: "compare", label: "Compare" },
];

const now = { picture: null, view: "side", over: "side", hand: null, stage: null, pinned: null, undo: null, redo: null, svgs: new Map(), labels: new Map() };

// ---------------------------------------------------------------- parts of the page

/** A vessel on end has no stack end: its views are named after the firebox. */
const ON_END = { "stack end": "Far side", "fire end": "Firebox side" };
const viewLabel = (key) => (now.picture?.on_end && ON_END[key]) || VIEWS.find((v) => v.key === key).label;
const labelOf = (name) => now.labels.get(name) ?? name.replaceAll(".", " ").replaceAll("_", " ");

const hint = (text) => {
  $("#hint").textContent = text ?? "";
};

const inputs = new Inputs($("#inputs-body"), {
  head: () => base0(),
  why: (name) => askWhy(name),
  commit: (field, value, from) =>
    store({ do: "edit", edits: [{ path: field.path, value }], label: `${field.label}: ${value === null ? (["proportions", "override"].includes(field.path[0]) ? "back to the shop's rule" : "taken out") : value === true ? "yes" : value === false ? "no" : value}`, base: from }),
});

const strip = new Strip($("#strip"), {
  why: (name) => askWhy(name),
  findings: () => {
    setFold("side", true);
    showTab("findings");
    $("#panel-findings").focus();
  },
});

const findings = new Findings($("#panel-findings"), {
  go: (path) => toField(path),
  light: (place) => board.light(place),
  look: (place) => {
    setView(place.view);
    board.light(place);
    if (matchMedia("(max-width: 1180px)").matches) $("#board").scrollIntoView({ block: "center" });
  },
  attempt: (edits) => answerTo("tried", { do: "try", edits }),
  edit: (edits, label) => store({ do: "edit", edits, label }),
});

const board = new Board($("#board"), {
  drag: (message) => live.send({ do: "drag", ...message }),
  drop: (message) => {
    const kept = now.picture;
    hint("");
    return store({ do: "drop", ...message }).catch((problem) => {
      if (now.picture === kept) showPicture(kept);
      if (problem?.error) hint(sentence(problem.error));
      throw problem;
    });
  },
  cancel: () => {
    live.send({ do: "cancel" });
    if (now.picture) showPicture(now.picture);
  },
  hand: (handle) => takeInHand(handle),
  head: () => base0(),
  type: (name, text, anchor) =>
    typeOn($("#board"), anchor, name, text, {
      label: labelOf,
      why: (n) => askWhy(n),
      head: base0,
      store: (n, value, from) => store({ do: "typed", name: n, text: value, shown: text.trim(), base: from, label: `${labelOf(n)}: ${value || "the shop's own"}` }),
    }),
  why: (name) => askWhy(name),
  label: labelOf,
  step: () => (now.picture?.units === "metric" ? [0.001, 0.01] : [0.0254 / 16, 0.0254]),
  hint,
  help,
  view: (i) => VIEWS[i] && setView(VIEWS[i].key, { focus: true }),
});

const desk = {
  id: job,
  picture: () => now.picture,
  ask: (path, options) => fetchJson(path, options),
  send: (message) => live.send(message),
  edit: (edits, label) => store({ do: "edit", edits, label }),
  rid,
  why: (name) => askWhy(name),
  units: () => now.picture?.units ?? "inch",
};

// ---------------------------------------------------------------- the live line

const asked = new Map(); // kind of answer -> functions waiting for it

const live = new Live(job, {
  heard,
  opened: () => {
    look();
    live.send({ do: "inputs" });
    if (now.pinned) live.send({ do: "pin", head: now.pinned.head, label: now.pinned.label });
  },
  stood: (state) => line(state),
  orphan: (message, sent) => {
    if (message.conflict) settle(message, sent).catch(() => null);
    else notice(`Not taken after the line was back: ${sentence(message.refused.error ?? message.refused)}`);
  },
  ended: (code) => {
    const box = $("#line");
    box.hidden = false;
    box.className = "line lost";
    box.textContent = code === 4404 ? "There is no such job here any more." : code === 4401 ? "This device was shown out. Load the page again and type a new pass code." : "Too many pages have this job open. Close one, then load this page again.";
  },
  kept: (unsent) => {
    $("#line").dataset.unsent = String(unsent);
    line();
  },
});

function heard(message) {
  if (message.inputs) {
    inputs.show(message.inputs);
    if (now.picture) problemAtField(now.picture);
  }
  if (message.why !== undefined) settleAsked("why", message.why);
  if (message.tried !== undefined) settleAsked("tried", message.tried);
  if (message.pinned !== undefined) {
    now.pinned = message.pinned;
    now.stage?.pinned?.(message.pinned);
  }
  if (message.compare !== undefined) now.stage?.compared?.(message.compare);
  if ("undo" in message) now.undo = message.undo;
  if ("redo" in message) now.redo = message.redo;
  if (message.changed) {
    const what = message.changed.label ? `: ${message.changed.label}` : "";
    const by = message.changed.by;
    notice(`${!by || by === "the bench" ? "Another page at the bench" : by} changed this job${what}`);
    if (!$("#panel-history").hidden) loadHistory();
  }
  if (message.refused && !message.rid) {
    const error = message.refused.error ?? message.refused;
    for (const kind of asked.keys()) settleAsked(kind, null, new Trouble(error));
    if (message.seq !== undefined) board.hold.answered(message.seq);
    hint(sentence(error));
    if (!now.picture) {
      $("#note").hidden = false;
      refill($("#note"), el("h2", {}, "No picture of this job"), trouble(error));
    }
  }
  if (message.picture) takePicture(message);
  stepButtons(now);
}

/** A picture has come: of a drag (with seq), of a stored change, or of somebody else's. */
function takePicture(message) {
  const { picture, seq } = message;
  if (picture.undo !== undefined) now.undo = picture.undo;
  if (picture.redo !== undefined) now.redo = picture.redo;
  if (Number.isInteger(picture.head)) live.head = picture.head;
  if (seq !== undefined && seq !== null) {
    if (!board.hold.answered(seq)) return;
    showPicture(picture, { moving: true });
    const snapped = message.snapped;
    const keys = matchMedia("(pointer: fine)").matches;
    hint(snapped ? `Snapped to ${snapped}.${keys ? " Hold Alt to move it free." : ""}` : `Free.${keys ? " Escape puts it back." : ""}`);
    return;
  }
  if (board.hold.id !== null && !message.changed) return; // an older whole picture must not pull at what is held
  now.picture = picture;
  if (board.hold.id !== null) return;
  showPicture(picture);
  if (now.stage && picture.full) now.stage.picture?.(picture);
}

function showPicture(picture, { moving = false } = {}) {
  if (!moving) {
    $("#job-name").textContent = picture.name || "(no name)";
    document.title = `${picture.name || "Job"} · Pitwright bench`;
    $("#job-customer").textContent = picture.customer || "";
    $("#job-revision").textContent = picture.revision ? `${picture.customer ? " · " : ""}revision ${picture.revision}` : "";
    $("#job-cleared").hidden = picture.state !== "solved" || picture.cleared;
    $("#units").value = picture.units;
    $("#units").hidden = picture.can_units === false;
    for (const key of Object.keys(ON_END)) $(`#view-${key.replaceAll(" ", "-")}`).textContent = viewLabel(key);
    note(picture);
    problemAtField(picture);
  }
  for (const group of picture.figures ?? []) for (const row of group.rows) if (row.why) now.labels.set(row.why, row.label);
  for (const item of picture.strip ?? []) if (item.why && !now.labels.has(item.why)) now.labels.set(item.why, item.label);
  for (const { handles } of Object.values(picture.views ?? {})) for (const h of handles ?? []) if (h.name) now.labels.set(h.name, h.label);
  strip.show(picture.strip ?? [], { held: moving });
  const content = picture.views?.[now.view];
  if (DRAWN.includes(now.view)) {
    if (content && picture.state === "cannot") content.handles = [];
    if (content) board.show(now.view, content, picture.live, picture.findings, { full: picture.full && !moving });
  }
  $("#board").classList.toggle("stale", picture.state === "cannot");
  if (picture.state !== "solved") findings.none(picture.state);
  else if (!picture.full && findings.list.length) findings.show(findings.list, { full: false });
  else findings.show(picture.findings ?? [], { full: picture.full !== false });
  document.body.dataset.picture = moving ? "held" : picture.state === "solved" && !picture.full ? "quick" : picture.state;
  document.body.dataset.head = String(live.head ?? "");
  if (!moving) showFigures($("#panel-figures"), picture.figures ?? [], askWhy);
}

function problemAtField(picture) {
  inputs.problem(picture.state === "cannot" ? picture.problem : null);
}

/** What stands in the way of a pit, over the drawing. */
function note(picture) {
  const box = $("#note");
  const print = JSON.stringify([picture.state, picture.blanks, picture.problem]);
  if (box.dataset.print === print) return;
  box.dataset.print = print;
  box.hidden = picture.state === "solved";
  if (picture.state === "solved") {
    refill(box);
    return;
  }
  const go = (path, label) => el("button", { type: "button", "data-key": `go ${JSON.stringify(path)}`, onclick: () => toField(path) }, label);
  if (picture.state === "blank") {
    refill(
      box,
      el("h2", {}, "Not solved yet"),
      el("p", {}, "These are facts nobody can guess:"),
      el("ul", {}, (picture.blanks ?? []).map((b) => el("li", {}, el("b", {}, b.label), ": ", b.ask, " ", go(b.path, "Type it")))),
    );
  } else {
    const problem = picture.problem ?? { message: "There is no such pit." };
    refill(
      box,
      el("h2", {}, "There is no such pit"),
      trouble(problem),
      el("p", {}, picture.strip?.length ? "The drawing still shows the last pit that could be built. " : "", problem.path && inputs.has(problem.path) ? go(problem.path, "To the field") : ""),
    );
    say(sentence(problem));
  }
}

function toField(path) {
  setFold("inputs", true);
  inputs.focus(path);
}

function sentence(error) {
  return [error.message, error.allowed && `Allowed: ${error.allowed}`, error.remedy].filter(Boolean).map((s) => s.replace(/\.$/, "")).join(". ") + ".";
}

// ---------------------------------------------------------------- asking and storing

function look() {
  const views = DRAWN.includes(now.view) ? [now.view] : now.view === "compare" ? [now.over] : [];
  live.send({ do: "look", views, hand: now.hand });
}

/** Asks something that answers under its own name. */
function answerTo(kind, message) {
  return new Promise((resolve, reject) => {
    const waiting = asked.get(kind) ?? [];
    waiting.push({ resolve, reject });
    asked.set(kind, waiting);
    if (!live.send(message)) settleAsked(kind, null, new Trouble({ message: "The line to the bench is down.", remedy: "Wait until it is back." }));
  });
}

function settleAsked(kind, value, problem = null) {
  const waiting = asked.get(kind) ?? [];
  asked.delete(kind);
  for (const w of waiting) problem ? w.reject(problem) : w.resolve(value);
}

/** Stores one change; on a conflict lets the user pick. Rejects with Trouble where it is refused. */
async function store(message) {
  try {
    const answer = await live.change(message);
    const moves = movesOf(answer.picture?.strip ?? now.picture?.strip ?? []);
    const merged = answer.merged ? "Somebody changed something else meanwhile; both stand. " : "";
    say(`${merged}${moves || "Taken. Nothing in the strip moved."}`);
    if (merged) notice(merged);
    return answer;
  } catch (problem) {
    if (!problem?.conflict) throw problem;
    return settle(problem, message);
  }
}

/** Two changed the same: the user picks. Undo is never pushed through: what it would undo is another's. */
async function settle(answer, message) {
  const again = () => {
    look();
    live.send({ do: "inputs" });
    return answer;
  };
  if (message.do === "undo" || message.do === "redo") {
    notice("Somebody changed the job meanwhile. Look at it, then press again.");
    return again();
  }
  const mine = await pick(answer.conflict, (path) => fieldLabel(path), message.label ?? message.name ?? "this");
  return mine ? store({ ...message, rid: undefined, base: null }) : again();
}

/** What a change that begins now stands on; with changes of ours still under way, what they give. */
function base0() {
  return live.unsent ? null : live.head;
}

function fieldLabel(path) {
  return Array.isArray(path) ? inputs.fields.get(JSON.stringify(path))?.data.label : undefined;
}

async function askWhy(name) {
  showTab("why");
  setFold("side", true);
  refill($("#panel-why"), el("p", { class: "quiet" }, "…"));
  try {
    const reason = await answerTo("why", { do: "why", name });
    showWhy($("#panel-why"), reason, askWhy);
    $("#panel-why").focus({ preventScroll: false });
    say(`${reason.label ?? reason.name} ${reason.text}: ${reason.because}`);
  } catch (problem) {
    refill($("#panel-why"), trouble(problem.error));
  }
}

async function loadHistory() {
  try {
    const { changes } = await fetchJson(`${base}/history`);
    showHistory($("#panel-history"), changes, async (change) => {
      try {
        await fetchJson(`${base}/current`, { method: "POST", body: { change: change.id, rid: rid() } });
        await loadHistory();
        say(`Now at: ${change.label}`);
      } catch (problem) {
        $("#panel-history").prepend(trouble(problem.error));
      }
    });
  } catch (problem) {
    refill($("#panel-history"), trouble(problem.error));
  }
}

function takeInHand(handle) {
  const hand = handle.hand ?? handle.id;
  if (hand === now.hand) return;
  now.hand = hand;
  look();
}

// ---------------------------------------------------------------- views, undo and redo

function setView(key, { focus = false } = {}) {
  if (key === now.view && (board.view === key || now.stage)) {
    if (focus) (now.stage ? $("#stage") : $("#board")).focus();
    return;
  }
  now.view = key;
  for (const b of $$("#views button")) b.setAttribute("aria-pressed", String(b.dataset.view === key));
  now.stage?.close();
  now.stage = null;
  const drawn = DRAWN.includes(key);
  $("#sheet").hidden = !drawn;
  $("#stage").hidden = drawn;
  hint("");
  const label = viewLabel(key);
  if (drawn) {
    $("#board").setAttribute("aria-label", `Drawing, ${label.toLowerCase()}. Press ? for keys`);
    if (now.picture?.views?.[key]) board.show(key, now.picture.views[key], now.picture.live, now.picture.findings);
    else board.clear();
    if (focus) $("#board").focus();
  } else {
    const host = $("#stage");
    host.replaceChildren();
    host.setAttribute("aria-label", label);
    host.setAttribute("tabindex", "-1");
    if (key === "compare") {
      const compare = new Compare(host, {
        pin: () => live.send({ do: "pin" }),
        unpin: () => live.send({ do: "unpin" }),
        ask: (view) => {
          now.over = view;
          look();
          live.send({ do: "compare" });
        },
        pinned: now.pinned,
      });
      now.stage = { picture: () => compare.picture(), close: () => compare.close(), compared: (a) => compare.take(a), pinned: (p) => compare.pinned(p) };
    } else now.stage = openStage(key, host, desk);
    if (focus) host.focus();
  }
  look();
  say(label);
}

async function back(which) {
  if (!now[which]) return;
  const what = now[which];
  try {
    await store({ do: which });
    say(`${which === "undo" ? "Undone" : "Done again"}: ${what}`);
  } catch (problem) {
    if (problem?.error) notice(sentence(problem.error));
  }
}

// ---------------------------------------------------------------- wiring

for (const { key, label } of VIEWS) {
  $("#views").append(
    el("button", { type: "button", id: `view-${key.replaceAll(" ", "-")}`, "data-view": key, "aria-pressed": String(key === now.view), onclick: () => setView(key) }, label),
  );
}
schemeSwitch($("#scheme"));
wireFrame((key) => {
  if (key === "history") loadHistory();
  if (key === "why" && !$("#panel-why").children.length) showWhy($("#panel-why"), null, askWhy);
});
$("#zoom-in").addEventListener("click", () => board.zoom(1.3));
$("#zoom-out").addEventListener("click", () => board.zoom(1 / 1.3));
$("#zoom-whole").addEventListener("click", () => board.whole());
$("#undo").addEventListener("click", () => back("undo"));
$("#redo").addEventListener("click", () => back("redo"));
$("#help").addEventListener("click", help);
$("#print").addEventListener("click", () => print());
addEventListener("beforeprint", () => {
  for (const d of $$("#panel-figures details")) d.open = true;
});
$("#pack").addEventListener("click", () => openPack(desk));
$("#floor").addEventListener("click", () => shopFloor(job));
$("#units").addEventListener("change", async (event) => {
  try {
    await store({ do: "units", units: event.target.value });
  } catch (problem) {
    event.target.value = now.picture?.units ?? "inch";
    if (problem?.error) notice(sentence(problem.error));
  }
});
document.addEventListener("keydown", (event) => {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || document.querySelector("dialog[open]")) return;
  if (event.target.matches("input, textarea, select") && (event.target.closest(".typed") || inputs.typing)) return;
  const key = event.key.toLowerCase();
  const which = key === "z" ? (event.shiftKey ? "redo" : "undo") : key === "y" ? "redo" : null;
  if (!which) return;
  event.preventDefault();
  back(which);
});
if (location.hash === "#history") showTab("history");
if (matchMedia("(max-width: 640px)").matches) setFold("inputs", false);
hint(
  matchMedia("(pointer: coarse)").matches
    ? "Drag a square, press a dimension to type a value, press a line to ask why. Spread two fingers or press + for more to take."
    : "Drag a square, press a dimension to type a value, press a line to ask why. Press ? on the drawing for keys.",
);
