// The shop floor's page: which step is shown, what is kept on the phone, what is sent. One step at a time.

import { $, el, say } from "/static/js/dom.js";
import { schemeSwitch } from "/static/js/prefs.js";
import { newRid, openKeep } from "/static/floor/keep.js";
import { Keys } from "/static/floor/keys.js";
import { fillList } from "/static/floor/list.js";
import { Sender } from "/static/floor/send.js";
import { showNotes, showStep } from "/static/floor/show.js";

const KEPT = "pitwright-floor-page-1"; // as in worker.js
const job = decodeURIComponent(location.pathname.split("/").filter(Boolean).pop());
const remembered = `pitwright.floor.${job}`;

/** All the page knows. `waiting`: not sent yet; `troubles`: not taken, by place; `mine`: what was typed here, by place;
 *  `news`: what re-solved of late. */
const floor = {
  job,
  record: null,
  waiting: [],
  troubles: new Map(),
  mine: new Map(),
  news: null,
  key: "",
  part: "do",
  piece: {},
  who: "",
  lasting: true,
  put,
  drop,
  go,
  shown,
  seen,
  repaint,
};
let keep;
let sender;
let keys;

async function begin() {
  schemeSwitch($("#scheme"));
  keep = await openKeep();
  floor.lasting = keep.lasting;
  keys = new Keys($("#keys"), () => floor.record?.units ?? "inch");
  floor.keys = keys;
  recall();
  await reread();
  const kept = await keep.steps(job).catch(() => null);
  if (kept) takeRecord(kept);
  paint();
  sender = new Sender(keep, job, { state: paintLine, record: newRecord, answers });
  sender.start();
  buttons();
  stayAwake();
  stayAtHand();
}

// ---------------------------------------------------------------- what is known

async function reread() {
  floor.waiting = await keep.outbox();
  floor.troubles = new Map((await keep.troubles(job)).map((t) => [t.place, t]));
}

function takeRecord(record) {
  if (!record.steps.length && floor.record?.steps.length) {
    floor.record = { ...floor.record, problem: record.problem }; // the steps it has stay, with why there are no new ones
  } else {
    floor.record = record;
  }
  if (!step() && floor.record.steps.length) floor.key = (floor.record.steps.find((s) => !s.tick.done) ?? floor.record.steps[0]).key;
  document.title = `${floor.record.name} – shop floor`;
}

async function newRecord(record) {
  takeRecord({ ...record, since: Date.now() });
  await keep.keepSteps(floor.record).catch(() => {});
  await reread();
  repaint();
}

async function answers(entries, reply) {
  await reread();
  const refused = entries.filter((e) => floor.troubles.get(e.place)?.item.rid === e.rid);
  if (reply.moved.length || reply.verdicts.length) {
    floor.news = { moved: reply.moved, verdicts: reply.verdicts };
    const words = reply.verdicts.map((v) => `${v.mark}: ${v.verdict}`).join(", ");
    say(`Solved again: ${reply.moved.length} figures read otherwise. ${words}`);
  }
  if (refused.length) say(`Not taken: ${refused.map((e) => floor.troubles.get(e.place).error.message).join("; ")}`);
  repaint();
}

/** What stands in a place as this phone knows it: what waits, else what was not taken, else what the bench has. */
function shown(place, atBench) {
  const mine = floor.waiting.filter((e) => e.job === job && e.place === place).at(-1);
  if (mine) return { value: valueOf(mine.item), waiting: true, trouble: null };
  const trouble = floor.troubles.get(place);
  if (trouble) return { value: valueOf(trouble.item), waiting: false, trouble };
  return { value: atBench, waiting: false, trouble: null };
}

/** Everything the person has seen in a place, and typed into it: a new item may take its place and nothing else.
 *  `had`: what was seen before, where the place was painted earlier. */
function seen(place, atBench, had = null) {
  const all = had ? [...had] : [atBench];
  const now = had ? null : floor.troubles.get(place)?.now;
  if (now) all.push(typeof atBench === "string" ? now[0] : now);
  for (const entry of floor.waiting) {
    if (entry.job === job && entry.place === place) all.push(...(entry.item.seen ?? []), valueOf(entry.item));
  }
  all.push(...(floor.mine.get(place) ?? []));
  return [...new Map(all.map((value) => [JSON.stringify(value), value])).values()];
}

function valueOf(item) {
  return item.kind === "tick" ? item.done : item.kind === "state" ? item.state : item.value;
}

// ---------------------------------------------------------------- what is typed

/** Keeps one item on the phone, then sends it as soon as there is a connection. `kept`: called once it is kept. */
async function put(place, item, kept = () => {}) {
  try {
    await keep.put(job, { rid: newRid(), ...item }, place);
    floor.mine.set(place, [...(floor.mine.get(place) ?? []), valueOf(item)]);
    kept();
  } catch {
    say("This could not be kept on the phone. Write it down.");
    floor.lasting = false;
  }
  await reread();
  repaint();
  sender.now();
}

async function drop(place) {
  await keep.drop(job, place);
  await reread();
  repaint();
}

// ---------------------------------------------------------------- what is shown

function step() {
  return floor.record?.steps.find((s) => s.key === floor.key);
}

function go(key, { part = "do", focus = true } = {}) {
  keys.close();
  floor.key = key;
  floor.part = part;
  remember();
  paint();
  scrollTo(0, 0);
  if (focus) $("#step").focus({ preventScroll: true });
}

/** Paints again, unless somebody is typing: then when he is done. */
function repaint() {
  const typing = document.activeElement?.matches?.("#step input[type=text]") && document.activeElement.dataset.dirty;
  if (typing) {
    paintLine();
    document.activeElement.addEventListener("blur", () => setTimeout(repaint), { once: true });
    return;
  }
  paint();
}

function paint() {
  const record = floor.record;
  $("#job-name").textContent = record?.name || "…";
  $("#job-about").textContent = record ? [record.number, record.revision && `rev ${record.revision}`].filter(Boolean).join(" · ") : "";
  showNotes($("#notes"), floor);
  const now = step();
  showStep($("#step"), floor, now);
  const steps = record?.steps ?? [];
  const at = steps.indexOf(now);
  $("#back").disabled = at <= 0;
  $("#next").disabled = at < 0 || at >= steps.length - 1;
  const tick = now ? shown(`tick:${now.key}`, now.tick.done) : null;
  $("#done").checked = Boolean(tick?.value);
  $("#done").disabled = !now || now.held;
  $("#done-box").classList.toggle("waiting", Boolean(tick?.waiting));
  if ($("#list").open) fillList($("#list-body"), floor, closeList);
  paintLine();
}

function paintLine() {
  const count = floor.waiting.length;
  const state = sender?.state ?? "asking";
  const why = {
    asking: "looking for the bench…",
    here: "",
    away: "no connection; it goes by itself when there is one",
    code: "this device needs the code shown at the bench",
    gone: "this job is not at the bench any more",
  }[state];
  const kept = floor.lasting ? "" : " This browser keeps nothing: leave the page open.";
  const text = count ? `Not sent yet: ${count}` : "All sent";
  const lost = floor.troubles.size ? ` – not taken: ${floor.troubles.size}` : "";
  const at = floor.record?.since ? new Date(floor.record.since).toLocaleTimeString([], { timeStyle: "short" }) : "";
  const old = state === "away" && at ? ` Steps as of ${at}.` : "";
  const whole = `${text}${lost}${why ? ` – ${why}` : ""}.${old}${kept}`;
  const line = $("#sent");
  if (line.textContent !== whole) line.textContent = whole;
  $("#line").className = `line ${count || floor.troubles.size ? "waiting" : ""} ${state === "here" ? "here" : "away"}`;
  $("#send-now").hidden = !(count && state !== "here") && state !== "code";
  $("#send-now").textContent = state === "code" ? "Type the code" : "Send now";
}

// ---------------------------------------------------------------- buttons, memory of the phone

function buttons() {
  const move = (by) => {
    const steps = floor.record?.steps ?? [];
    const to = steps[steps.indexOf(step()) + by];
    if (to) go(to.key);
  };
  $("#back").addEventListener("click", () => move(-1));
  $("#next").addEventListener("click", () => move(1));
  $("#done").addEventListener("change", (event) => {
    const now = step();
    if (now) put(`tick:${now.key}`, { kind: "tick", step: now.key, done: event.target.checked });
  });
  $("#send-now").addEventListener("click", () => (sender.state === "code" ? location.reload() : sender.now()));
  $("#list-open").addEventListener("click", () => {
    fillList($("#list-body"), floor, closeList);
    $("#list").showModal();
    $("#list-body [aria-current]")?.scrollIntoView({ block: "center" });
  });
  $("#list-close").addEventListener("click", () => $("#list").close());
  addEventListener("hashchange", () => {
    const key = decodeURIComponent(location.hash.slice(1));
    if (key !== floor.key && floor.record?.steps.some((s) => s.key === key)) go(key);
  });
  addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey || event.target.closest("input, select, textarea, dialog")) return;
    if (event.key === "ArrowRight" || event.key === "PageDown") move(1);
    else if (event.key === "ArrowLeft" || event.key === "PageUp") move(-1);
    else return;
    event.preventDefault();
  });
  addEventListener("beforeunload", (event) => {
    const helped = navigator.serviceWorker?.controller;
    if (sender.state !== "here" && !helped) event.preventDefault(); // without a connection it would not come back
  });
}

function closeList(key) {
  $("#list").close();
  if (key) go(key);
}

function remember() {
  history.replaceState(null, "", `#${encodeURIComponent(floor.key)}`);
  try {
    localStorage.setItem(remembered, JSON.stringify({ key: floor.key, who: floor.who }));
  } catch {
    // the page then begins at the first open step
  }
}
floor.remember = remember;

function recall() {
  try {
    const kept = JSON.parse(localStorage.getItem(remembered) ?? "{}");
    floor.key = kept.key ?? "";
    floor.who = kept.who ?? "";
  } catch {
    floor.key = "";
  }
  if (location.hash.length > 1) floor.key = decodeURIComponent(location.hash.slice(1));
}

/** Keeps the screen lit while the page is looked at, where the browser can. */
function stayAwake() {
  if (!navigator.wakeLock) {
    floor.awake = "This browser cannot keep the screen lit: set the phone to stay on.";
    return;
  }
  const ask = () => document.visibilityState === "visible" && navigator.wakeLock.request("screen").catch(() => {});
  document.addEventListener("visibilitychange", ask);
  ask();
}

/** Lets the page come back without a connection, where the browser allows it. */
async function stayAtHand() {
  if (!navigator.serviceWorker) {
    floor.apart = "Without a connection, leave this page open: this browser cannot load it again.";
    return;
  }
  try {
    await navigator.serviceWorker.register("/floor/worker.js", { scope: "/floor/" });
    await navigator.serviceWorker.ready;
    const kept = await caches.open(KEPT);
    await kept.add(location.pathname);
  } catch {
    floor.apart = "Without a connection, leave this page open: this browser cannot load it again.";
  }
}

begin();
