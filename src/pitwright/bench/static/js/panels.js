// The right-hand panels: findings with their way out, figures, the chain of reasons, history.

import { capital, el, moved, refill, say, trouble, when } from "/static/js/dom.js";

const SEVERITY = { stop: ["✕", "Stop"], warn: ["!", "Watch"], note: ["i", "Note"], unchecked: ["?", "Not checked"] };

const COUNTED = { stop: ["stops the build", "stop the build"], warn: ["to watch", "to watch"], note: ["note", "notes"], unchecked: ["not checked", "not checked"] };

/** `on`: {go(path), light(place), look(place), attempt(edits) -> Promise, edit(edits, label) -> Promise}. */
export class Findings {
  constructor(host, on) {
    this.host = host;
    this.on = on;
    this.tried = null; // {id, answer}
    this.list = [];
    this.full = true;
  }

  show(findings, { full = true } = {}) {
    const print = JSON.stringify([findings, full, this.tried]);
    if (print === this.print) return;
    this.print = print;
    findings = keyed(findings);
    this.list = findings;
    this.full = full;
    const counts = Object.keys(SEVERITY)
      .map((s) => [s, findings.filter((f) => f.severity === s).length])
      .filter(([, n]) => n)
      .map(([s, n]) => `${n} ${COUNTED[s][n === 1 ? 0 : 1]}`);
    refill(
      this.host,
      el("p", { class: "count" }, full ? counts.join(", ") || "Nothing found." : "Checking stand and plates…"),
      el("ul", { class: "findings" }, findings.map((f) => this.item(f))),
    );
  }

  /** Where there is no pit to check. */
  none(state) {
    this.print = state;
    this.list = [];
    refill(this.host, el("p", { class: "count" }, state === "blank" ? "Nothing to check until the blanks are measured." : "No pit to check: see what stands in its way."));
  }

  item(f) {
    const [sign, word] = SEVERITY[f.severity] ?? SEVERITY.note;
    const node = el(
      "li",
      { class: `finding ${f.severity}`, "data-code": f.code },
      el("p", { class: "said" }, el("span", { class: `sign ${f.severity}`, "aria-hidden": "true" }, sign), el("b", {}, `${word}. `), capital(f.text)),
    );
    if (f.remedy) node.append(el("p", { class: "remedy" }, el("b", {}, "Way out: "), f.remedy));
    const acts = el("div", { class: "acts" });
    if (f.place?.at) {
      const show = el("button", { type: "button", class: "small", "data-key": `show ${f.id}`, "aria-label": `Show on the drawing: ${f.text}` }, "Show");
      show.addEventListener("click", () => this.on.look(f.place));
      show.addEventListener("focus", () => this.on.light(f.place));
      show.addEventListener("blur", () => this.on.light(null));
      node.addEventListener("pointerenter", () => this.on.light(f.place));
      node.addEventListener("pointerleave", () => this.on.light(null));
      acts.append(show);
    }
    if (f.go) {
      acts.append(el("button", { type: "button", class: "small", "data-key": `go ${f.id}`, onclick: () => this.on.go(f.go.path) }, f.go.label));
    }
    if (f.offer) {
      const attempt = el("button", { type: "button", class: "small", "data-key": `try ${f.id}`, "aria-label": `Try: ${f.offer.label}` }, `Try: ${f.offer.label}`);
      attempt.addEventListener("click", () => this.attempt(f));
      acts.append(attempt);
    }
    if (acts.children.length) node.append(acts);
    if (this.tried?.id === f.id) node.append(this.effect(f));
    if (f.source) node.append(el("p", { class: "source quiet" }, f.source.replace(/,? ?docs\/\S+\.md/g, "")));
    return node;
  }

  async attempt(f) {
    try {
      this.tried = { id: f.id, answer: await this.on.attempt(f.offer.edits) };
    } catch (problem) {
      this.tried = { id: f.id, answer: { problem: problem.error ?? { message: String(problem) } } };
    }
    this.show(this.list, { full: this.full });
    const effect = this.host.querySelector(".effect");
    effect?.querySelector("button")?.focus();
    say(effect?.querySelector("ul, .trouble")?.textContent ?? "");
  }

  effect(f) {
    const { strip = [], gone = [], new: fresh = [], problem } = this.tried.answer;
    const box = el("div", { class: "effect" });
    if (problem) box.append(trouble(problem));
    else {
      const lines = [
        ...strip.filter((i) => i.move).map((i) => `${i.label}: ${i.text} (${moved(i.move)})`),
        ...gone.map((t) => `Gone: ${t}`),
        ...fresh.map((t) => `New: ${t}`),
      ];
      box.append(el("p", {}, el("b", {}, "What it would do")), el("ul", {}, (lines.length ? lines : ["Nothing else moves."]).map((t) => el("li", {}, t))));
    }
    const row = el("div", { class: "acts" });
    const leave = () => {
      this.tried = null;
      this.show(this.list, { full: this.full });
    };
    if (!problem) {
      const go = el("button", { type: "button", class: "main small", "data-key": `do ${f.id}` }, "Do it");
      go.addEventListener("click", async () => {
        try {
          await this.on.edit(f.offer.edits, f.offer.label);
          this.tried = null;
        } catch (fault) {
          if (fault?.error) this.tried = { id: f.id, answer: { problem: fault.error } };
        }
        this.show(this.list, { full: this.full });
      });
      row.append(go);
    }
    row.append(el("button", { type: "button", class: "small", "data-key": `leave ${f.id}`, onclick: leave }, "Leave it"));
    box.append(row);
    return box;
  }
}

/** Findings whose ids are all different: what is found twice gets its number. */
function keyed(findings) {
  const seen = new Map();
  return findings.map((f) => {
    const times = (seen.get(f.id) ?? 0) + 1;
    seen.set(f.id, times);
    return times === 1 ? f : { ...f, id: `${f.id} ${times}` };
  });
}

/** Every figure under its heading; each can be asked why. */
export function showFigures(host, figures, why) {
  const print = JSON.stringify(figures);
  if (host.printed === print) return;
  host.printed = print;
  refill(
    host,
    figures.map((group) =>
      el("details", { class: "figure-group", open: true, "data-key": `figures ${group.heading}` },
        el("summary", {}, group.heading),
        el("table", {},
          el("tbody", {},
            group.rows.map((row) =>
              el("tr", {},
                el("th", { scope: "row" }, row.label),
                el("td", {}, row.text),
                el("td", { class: "ask" }, row.why ? el("button", { type: "button", class: "link", "data-key": `why ${row.why} ${row.label}`, "aria-label": `Why: ${row.label}`, onclick: () => why(row.why) }, "why") : ""),
              ))))), // prettier-ignore
    ),
  );
}

const KINDS = {
  fixed: "A stated fact",
  proportion: "The shop's proportion",
  solved: "Follows",
  override: "Set for this job",
  measured: "Measured on the build",
  assumed: "Assumed",
};

/** The chain of reasons of one figure as a tree, and what rests on it. */
export function showWhy(host, reason, why) {
  if (!reason) {
    refill(host, el("p", { class: "quiet" }, "Press “why” at a field or a figure, or a line of the drawing: its chain of reasons stands here."));
    return;
  }
  const rests = reason.rests_here ?? [];
  refill(
    host,
    el("div", { class: "why" },
      el("h3", {}, reason.label ?? reason.name),
      el("p", { class: "big" }, reason.text),
      grounds(reason),
      reason.rests_on?.length ? [el("h4", {}, "It rests on"), el("ul", { class: "tree" }, reason.rests_on.map((r) => branch(r, why, 0)))] : null,
      rests.length ? [el("h4", {}, "What rests on it"), el("ul", { class: "tree" }, rests.map((r) => el("li", {}, link(r, why))))] : null,
    ), // prettier-ignore
  );
}

function link(r, why) {
  return el("button", { type: "button", class: "link", "data-key": `why ${r.name}`, onclick: () => why(r.name) }, `${r.label ?? r.name}${r.text ? ` = ${r.text}` : ""}`);
}

function grounds(r) {
  return [
    el("p", {}, el("b", {}, `${KINDS[r.kind] ?? r.kind}. `), r.because),
    r.formula ? el("p", {}, el("code", {}, r.formula)) : null,
    r.source ? el("p", { class: "quiet" }, r.source) : null,
    r.band ? el("p", {}, `Between ${Array.isArray(r.band) ? r.band.join(" and ") : r.band}`) : null,
    r.gave_way ? el("p", {}, el("b", {}, "Gave way: "), r.gave_way) : null,
  ];
}

function branch(r, why, depth) {
  const more = r.rests_on?.length && !r.again;
  if (r.again) return el("li", {}, link(r, why), el("span", { class: "quiet" }, " (see above)"));
  const inside = [grounds(r), more ? el("ul", { class: "tree" }, r.rests_on.map((x) => branch(x, why, depth + 1))) : null];
  return el("li", {}, el("details", { open: depth < 1 }, el("summary", {}, `${r.label ?? r.name}${r.text ? ` = ${r.text}` : ""}`), inside));
}

/** Every change ever made; any can be made the one that counts. */
export function showHistory(host, changes, back) {
  refill(
    host,
    el("ol", { class: "history" },
      changes.map((c) =>
        el("li", { class: c.current ? "now" : c.on_line ? "" : "off", "aria-current": c.current ? "step" : null },
          el("p", {}, el("b", {}, c.label || "change"), c.current ? " (now)" : c.on_line ? "" : " (not in force)"),
          el("p", { class: "quiet" }, `${when(c.at)}${c.who ? ` · ${c.who}` : ""}`),
          c.current ? null : el("button", { type: "button", class: "small", "data-key": `back ${c.id}`, "aria-label": `Back to: ${c.label}`, onclick: () => back(c) }, "Back to this"),
        ))), // prettier-ignore
  );
}
