// The list of jobs: a new one from five facts, search, copy, files in and out, put away and back.

import { $, ask, el, meanings, refill, say, trouble, when } from "/static/js/dom.js";
import { fetchJson, rid, Trouble } from "/static/js/talk.js";
import { bundle } from "/static/js/bundle.js";
import { schemeSwitch } from "/static/js/prefs.js";

const FACTS = ["name", "around", "wall", "length", "grate_height"];
const list = $("#jobs");
const form = $("#new-job");
let asked = 0;
let newRid = rid(); // kept until the answer is in, so that a second press makes no second job

schemeSwitch($("#scheme"));

function at(name) {
  return `/job/${encodeURIComponent(name)}`;
}

async function load() {
  const mine = ++asked;
  const query = new URLSearchParams({ search: $("#search").value.trim() });
  if ($("#show-removed").checked) query.set("removed", "1");
  try {
    const { jobs } = await fetchJson(`/api/jobs?${query}`);
    if (mine !== asked) return;
    $("#list-trouble").replaceChildren();
    show(jobs);
  } catch (problem) {
    if (mine === asked) $("#list-trouble").replaceChildren(trouble(problem.error ?? { message: String(problem) }));
  }
}

function show(jobs) {
  const search = $("#search").value.trim();
  refill(list, jobs.map(card));
  const none = $("#no-jobs");
  none.hidden = jobs.length > 0;
  none.textContent = search ? `No job has “${search}” in its name, customer or number.` : "No jobs yet. Make one from the five facts.";
  if (search) say(jobs.length === 1 ? "1 job found" : `${jobs.length} jobs found`);
}

function card(job) {
  const base = `/api/jobs/${encodeURIComponent(job.id)}`;
  const name = job.name || "(no name)";
  const act = (label, fn) =>
    el("button", { type: "button", "data-key": `${label} ${job.id}`, "aria-label": `${label}: ${name}`, onclick: fn }, label);
  const acts = job.removed
    ? [act("Put back", () => post(job, "restore", `${name} is back in the list`))]
    : [
        act("Copy", () => post(job, "copy", `Copied ${name}`)),
        el("a", { class: "button", href: `${base}/file`, download: "", "aria-label": `Job file of ${name}` }, "Job file"),
        el("a", { class: "button", href: `${base}/export`, download: "", "aria-label": `Everything of ${name} with its history` }, "All of it"),
        act("History", () => history(job)),
        act("Put away", () => post(job, "remove", `${name} is put away; tick “show put-away jobs” to see it`)),
      ];
  const picture = el("img", { src: `${base}/picture.svg?head=${job.head ?? ""}`, alt: "", loading: "lazy" });
  picture.addEventListener("error", () => picture.removeAttribute("src"), { once: true });
  return el(
    "li",
    { class: job.removed ? "card away" : "card" },
    picture,
    el(
      "div",
      { class: "about" },
      el("h3", {}, el("a", { href: at(job.id), "data-key": `open ${job.id}` }, name)),
      el("p", { class: "quiet" }, [job.number, job.customer].filter(Boolean).join(" · ") || "\u00a0"),
      el("p", { class: "quiet" }, `${job.removed ? "put away · " : ""}${when(job.touched)}`),
    ),
    el("div", { class: "acts" }, acts),
  );
}

async function post(job, what, said) {
  try {
    await fetchJson(`/api/jobs/${encodeURIComponent(job.id)}/${what}`, { method: "POST", body: { rid: rid() } });
    await load();
    say(said);
  } catch (problem) {
    $("#list-trouble").replaceChildren(trouble(problem.error ?? { message: String(problem) }));
  }
}

async function history(job) {
  const body = el("div", { class: "past" }, el("p", {}, "…"));
  ask(`History of ${job.name}`, body, [{ label: "Open the job", main: true, act: () => location.assign(`${at(job.id)}#history`) }]);
  try {
    const { changes } = await fetchJson(`/api/jobs/${encodeURIComponent(job.id)}/history`);
    body.replaceChildren(
      el("table", {},
        el("thead", {}, el("tr", {}, ["when", "who", "what"].map((t) => el("th", { scope: "col" }, t)))),
        el("tbody", {}, changes.map((c) => el("tr", {}, el("td", {}, when(c.at)), el("td", {}, c.who), el("td", {}, c.label, c.current ? el("b", {}, " (now)") : ""))))),
    ); // prettier-ignore
  } catch (problem) {
    body.replaceChildren(trouble(problem.error ?? { message: String(problem) }));
  }
}

function fieldTrouble(problem) {
  for (const name of FACTS) {
    const input = $(`#new-${name}`);
    input.removeAttribute("aria-invalid");
    input.setAttribute("aria-describedby", `new-${name}-help`);
    $(`#new-${name}-trouble`)?.remove();
  }
  $("#new-trouble").replaceChildren();
  if (!problem) return;
  const name = FACTS.find((f) => (problem.field ?? "").split(".").at(-1) === f);
  if (!name) {
    $("#new-trouble").replaceChildren(trouble(problem));
    return;
  }
  const input = $(`#new-${name}`);
  const box = trouble({ ...problem, path: [name] }, { id: `new-${name}-trouble` });
  box.append(
    meanings(problem, (text) => {
      input.value = text;
      fieldTrouble(null);
      input.focus();
    }),
  );
  input.closest(".fact").append(box);
  input.setAttribute("aria-invalid", "true");
  input.setAttribute("aria-describedby", `new-${name}-help new-${name}-trouble`);
  input.focus();
  say([problem.message, problem.allowed, problem.remedy].filter(Boolean).join(". "));
}

form.addEventListener("input", (event) => {
  if (event.target.getAttribute("aria-invalid") === "true") fieldTrouble(null);
});

form.addEventListener("submit", async (event) => {
  event.preventDefault();
  fieldTrouble(null);
  const facts = Object.fromEntries(new FormData(form));
  for (const [key, value] of Object.entries(facts)) facts[key] = String(value).trim();
  const button = $("#make-job");
  if (button.getAttribute("aria-disabled") === "true") return;
  button.setAttribute("aria-disabled", "true");
  try {
    const { job } = await fetchJson("/api/jobs", { method: "POST", body: { facts, rid: newRid } });
    newRid = rid();
    location.assign(at(job.id));
  } catch (problem) {
    if (problem instanceof Trouble && problem.status) newRid = rid();
    fieldTrouble(problem.error ?? { message: String(problem) });
  } finally {
    button.removeAttribute("aria-disabled");
  }
});

$("#import-file").addEventListener("change", async (event) => {
  const files = [...event.target.files];
  event.target.value = "";
  if (!files.length) return;
  const fault = (problem) => $("#list-trouble").replaceChildren(trouble(problem));
  if (files.reduce((sum, f) => sum + f.size, 0) > 5_000_000) {
    fault({ message: "That is too large", allowed: "up to 5 MB", remedy: "Pick a job file, with the files it names, or a kept job." });
    return;
  }
  const name = files.length === 1 ? files[0].name : "picked.zip";
  try {
    const raw = files.length === 1 ? files[0] : await bundle(files);
    const { job, missing } = await fetchJson(`/api/jobs/import?name=${encodeURIComponent(name)}`, { method: "POST", raw });
    await load();
    if (missing?.length) {
      const files = missing.join(", ");
      fault({
        message: `${job.name} is in the list, but cannot be solved: it builds by ${files}, which did not come with it`,
        remedy: `Bring it in again and pick ${files} together with it, then put this one away.`,
      });
    }
    say(`${job.name} is in the list`);
    $(`[data-key="open ${CSS.escape(job.id)}"]`)?.focus();
  } catch (problem) {
    fault(problem.error ?? { message: String(problem) });
  }
});

let typing = 0;
$("#search").addEventListener("input", () => {
  clearTimeout(typing);
  typing = setTimeout(load, 180);
});
$("#show-removed").addEventListener("change", load);
addEventListener("pageshow", (event) => event.persisted && load());
load();
