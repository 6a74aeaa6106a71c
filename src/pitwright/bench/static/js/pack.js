// The pack: choose what to take away, watch it being made, look at every page, download it in one file.

import { el, refill, say, trouble } from "/static/js/dom.js";
import { newId } from "/static/js/view_kit.js";

const BEAT = 500; // ms between two looks at how far it is
const UNDER_WAY = new Set(["waiting", "making"]);

export function open(host, desk) {
  const keep = `pitwright.pack.${desk.id}`;
  let over = false;
  let timer = 0;
  let key = ""; // the pack that is shown
  let shown = null; // its last record
  let page = 1;
  let changed = false; // the job, since that pack was begun
  let silent = ""; // what was said last, so that it is said once

  const form = el("form", { class: "pack-form" });
  const progress = el("div", { class: "pack-progress" });
  const result = el("div", { class: "pack-result" });
  const preview = el("div", { class: "pack-preview" });
  host.classList.add("pack");
  host.append(form, el("div", { class: "pack-right" }, progress, result, preview));
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    start();
  });

  // ---------------------------------------------------------------- choosing

  let boxes = [];
  let paper = null;
  const said = el("div", {});

  async function choose() {
    let choices;
    try {
      choices = await desk.ask("/api/packs/choices");
    } catch (problem) {
      refill(form, trouble(problem.error || { message: "What a pack can hold could not be read." }));
      return;
    }
    if (over) return;
    const id = newId("paper");
    boxes = choices.pieces.map((piece) => {
      const box = el("input", { type: "checkbox", id: newId("piece"), name: "piece", value: piece.name });
      box.checked = piece.name !== "step";
      return { box, piece };
    });
    paper = el("select", { id }, el("option", { value: "" }, "the usual one for this job"), choices.papers.map((p) => el("option", { value: p }, p)));
    for (const [i, p] of choices.papers.entries()) paper.options[i + 1].value = p;
    paper.options[0].value = "";
    paper.value = "";
    const all = (on) => {
      for (const { box } of boxes) box.checked = on;
    };
    refill(
      form,
      el(
        "fieldset",
        { class: "view-fieldset" },
        el("legend", {}, "What to take away"),
        boxes.map(({ box, piece }) =>
          el("div", { class: "pack-piece" }, box, el("label", { for: box.id }, el("b", {}, title(piece.name)), el("span", { class: "quiet" }, piece.what))),
        ),
        el(
          "div",
          { class: "pack-row" },
          el("button", { type: "button", onclick: () => all(true) }, "All"),
          el("button", { type: "button", onclick: () => all(false) }, "None"),
        ),
      ),
      el("div", { class: "pack-row" }, el("label", { for: id }, "Paper"), paper),
      said,
      el(
        "div",
        { class: "pack-row" },
        el("button", { type: "submit", id: "pack-make", class: "main" }, "Make the pack"),
        el("a", { class: "button", href: `/api/jobs/${encodeURIComponent(desk.id)}/customer.html`, download: true }, "One page for the customer"),
      ),
      el("p", { class: "quiet" }, "The customer's page is one file with pictures and the pit to turn; no prices of the shop stand in it."),
    );
  }

  const title = (name) => name.charAt(0).toUpperCase() + name.slice(1).replaceAll("-", " ");

  async function start() {
    const pieces = boxes.filter(({ box }) => box.checked).map(({ piece }) => piece.name);
    refill(said);
    if (!pieces.length) {
      refill(said, trouble({ message: "Nothing is chosen.", remedy: "Tick at least one piece of the pack." }));
      boxes[0]?.box.focus();
      return;
    }
    try {
      const answer = await desk.ask(`/api/jobs/${desk.id}/packs`, { method: "POST", body: { pieces, paper: paper.value, rid: desk.rid() } });
      changed = false;
      take(answer.pack);
      if (matchMedia("(max-width: 56rem)").matches) progress.scrollIntoView({ block: "start" });
    } catch (problem) {
      refill(said, trouble(problem.error || { message: "The pack could not be begun." }));
    }
  }

  function take(id) {
    key = id;
    page = 1;
    shown = null;
    silent = "";
    try {
      sessionStorage.setItem(keep, id);
    } catch {
      // a page without a store of its own only forgets the last pack
    }
    look();
  }

  // ---------------------------------------------------------------- watching

  async function look() {
    clearTimeout(timer);
    if (over || !key) return;
    const asked = key;
    let record;
    try {
      record = await desk.ask(`/api/packs/${encodeURIComponent(asked)}`);
    } catch (problem) {
      if (over || asked !== key) return;
      if (shown === null) forget();
      else refill(progress, trouble(problem.error || { message: "How far it is could not be read." }));
      return;
    }
    if (over || asked !== key) return;
    show(record);
    if (UNDER_WAY.has(record.state)) timer = setTimeout(look, BEAT);
  }

  function forget() {
    key = "";
    shown = null;
    refill(progress);
    refill(result);
    refill(preview, el("p", { class: "quiet pack-none" }, "Every printed page can be looked at here once it is drawn."));
    try {
      sessionStorage.removeItem(keep);
    } catch {
      // nothing was kept
    }
  }

  function show(record) {
    const fresh = !shown || shown.state !== record.state || shown.done !== record.done || shown.pages.length !== record.pages.length || shown.problems.length !== record.problems.length;
    shown = record;
    if (!fresh) return;
    const under = UNDER_WAY.has(record.state);
    const id = newId("bar");
    const line = {
      waiting: "Waiting for another pack to be done.",
      making: `${record.done} of ${record.total} done${record.doing ? `; now: ${title(record.doing)}` : ""}`,
      done: `Ready: ${record.files.length} files.`,
      failed: "It could not be made.",
      cancelled: "Stopped.",
    }[record.state];
    const bar = el("progress", { id, max: record.total });
    bar.value = record.done;
    refill(
      progress,
      el("label", { for: id }, line),
      bar,
      under ? el("button", { type: "button", "data-key": "stop", onclick: stop }, "Stop") : null,
      record.error ? trouble(record.error) : null,
    );
    if (silent !== line && !under) say(line);
    silent = line;
    const link = (name) => `/api/packs/${encodeURIComponent(key)}/file/${name.split("/").map(encodeURIComponent).join("/")}`;
    refill(
      result,
      record.state === "done"
        ? el("p", {}, el("a", { class: "button main", id: "pack-zip", href: `/api/packs/${encodeURIComponent(key)}/zip`, download: record.zip }, `Download all in one file`), el("span", { class: "quiet" }, ` ${record.zip}`))
        : null,
      changed ? el("p", { class: "trouble" }, "The job has changed since this pack was begun. Make it again before anybody cuts by it.") : null,
      record.problems.length ? el("div", { class: "trouble" }, el("p", {}, "Not all of it could be made:"), el("ul", {}, record.problems.map((p) => el("li", {}, p)))) : null,
      record.files.length
        ? el(
            "details",
            { "data-key": "files" },
            el("summary", {}, under ? `Files, ${record.files.length} so far` : `Files, ${record.files.length}`),
            el("ul", { class: "pack-files" }, record.files.map((f) => el("li", {}, el("a", { href: link(f.name), download: true }, f.name), el("span", { class: "quiet" }, ` ${size(f.bytes)}`)))),
          )
        : null,
    );
    showPage();
  }

  async function stop() {
    try {
      show(await desk.ask(`/api/packs/${encodeURIComponent(key)}/cancel`, { method: "POST", body: { rid: desk.rid() } }));
    } catch (problem) {
      refill(progress, trouble(problem.error || { message: "It could not be stopped." }));
    }
  }

  function size(bytes) {
    if (bytes < 1000) return `${bytes} bytes`;
    return bytes < 1e6 ? `${Math.round(bytes / 1000)} kB` : `${(bytes / 1e6).toFixed(1)} MB`;
  }

  // ---------------------------------------------------------------- pages

  function showPage() {
    const pages = shown.pages;
    if (!pages.length) {
      refill(preview, el("p", { class: "quiet pack-none" }, UNDER_WAY.has(shown.state) ? "Pages show here as they are drawn." : "No printed pages in what was chosen."));
      return;
    }
    page = Math.min(Math.max(page, 1), pages.length);
    const now = pages[page - 1];
    const old = preview.querySelector("select");
    if (old && old.options.length === pages.length && preview.dataset.page === `${key}/${page}`) return;
    preview.dataset.page = `${key}/${page}`;
    const id = newId("page");
    const pick = el("select", { id, "data-key": "page" }, pages.map((p) => el("option", { value: p.n }, `${p.n}. ${p.title}`)));
    for (const [i, p] of pages.entries()) pick.options[i].value = String(p.n);
    pick.value = String(page);
    const go = (n) => {
      page = n;
      showPage();
      say(`Page ${page}: ${pages[page - 1].title}`);
    };
    pick.addEventListener("change", () => go(Number(pick.value)));
    const address = `/api/packs/${encodeURIComponent(key)}/page/${page}.svg`;
    refill(
      preview,
      el(
        "div",
        { class: "pack-row" },
        el("button", { type: "button", "data-key": "before", disabled: page === 1, onclick: () => go(page - 1) }, "‹ Before"),
        el("label", { for: id, class: "unseen" }, "Page"),
        pick,
        el("button", { type: "button", "data-key": "next", disabled: page === pages.length, onclick: () => go(page + 1) }, "Next ›"),
        el("span", { class: "quiet" }, `${page} of ${pages.length}`),
        el("a", { href: address, target: "_blank", rel: "noopener" }, "Alone, full size"),
      ),
      el("img", { class: "pack-page", src: address, alt: `Page ${page}, ${now.title}, as it prints` }),
    );
  }

  // ---------------------------------------------------------------- coming and going

  refill(preview, el("p", { class: "quiet pack-none" }, "Every printed page can be looked at here once it is drawn."));
  choose();
  try {
    const kept = sessionStorage.getItem(keep);
    if (kept) {
      key = kept;
      look();
    }
  } catch {
    key = "";
  }

  let head = desk.picture?.()?.head ?? null;
  return {
    picture(p) {
      if (p.head !== undefined && p.head === head) return;
      head = p.head ?? head;
      if (!shown || changed) return;
      changed = true;
      const record = shown;
      shown = null;
      show(record);
    },
    close() {
      over = true;
      clearTimeout(timer);
      host.classList.remove("pack");
      host.replaceChildren();
    },
  };
}
