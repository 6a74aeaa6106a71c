// Small tools for the page: elements whose text is always plain text, dialogs, what a screen reader is told.

const SVG = "http://www.w3.org/2000/svg";

/** An element. `attrs`: plain attributes, `on…` functions, true/false for bare ones. Text children stay text. */
export function el(tag, attrs = {}, ...children) {
  return dress(document.createElement(tag), attrs, children);
}

/** The same for a drawing's elements. */
export function svgEl(tag, attrs = {}, ...children) {
  return dress(document.createElementNS(SVG, tag), attrs, children);
}

function dress(node, attrs, children) {
  for (const [name, value] of Object.entries(attrs)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on") && typeof value === "function") node.addEventListener(name.slice(2), value);
    else if (name === "value") node.value = value;
    else node.setAttribute(name, value === true ? "" : String(value));
  }
  for (const child of children.flat(Infinity)) {
    if (child === null || child === undefined || child === false) continue;
    node.append(child instanceof Node ? child : document.createTextNode(String(child)));
  }
  return node;
}

export const $ = (selector, root = document) => root.querySelector(selector);
export const $$ = (selector, root = document) => [...root.querySelectorAll(selector)];

/** Puts new children in, and the focus back where it was: on the element with the same data-key or id. */
export function refill(host, ...children) {
  const had = host.contains(document.activeElement) && document.activeElement !== host ? document.activeElement : null;
  const key = had && (had.dataset.key || had.id);
  const open = new Map($$("details[data-key]", host).map((d) => [d.dataset.key, d.open]));
  const top = host.scrollTop;
  host.replaceChildren(...children.flat(Infinity).filter((c) => c !== null && c !== undefined && c !== false));
  for (const d of $$("details[data-key]", host)) if (open.has(d.dataset.key)) d.open = open.get(d.dataset.key);
  host.scrollTop = top;
  if (!had || document.activeElement === had) return;
  const again = key && (host.querySelector(`[data-key="${CSS.escape(key)}"]`) || document.getElementById(key));
  if (again) again.focus({ preventScroll: true });
  else {
    if (!host.hasAttribute("tabindex")) host.setAttribute("tabindex", "-1");
    host.focus({ preventScroll: true });
  }
}

let saying = 0;
/** Tells a screen reader, without moving anything. The last word wins when several come at once. */
export function say(text) {
  const region = document.getElementById("said");
  if (!region || !text) return;
  clearTimeout(saying);
  saying = setTimeout(() => {
    region.textContent = region.textContent === text ? `${text}\u00a0` : text;
  }, 120);
}

/** Opens a dialog. `body`: nodes; `buttons`: [{label, main, act}]; act returning false keeps it open. */
export function ask(title, body, buttons = [{ label: "Close" }], { wide = false, key = "" } = {}) {
  const id = `dialog-${key || Math.random().toString(36).slice(2)}`;
  const box = el("dialog", { class: wide ? "wide" : "", id, "aria-labelledby": `${id}-title` });
  const close = el("button", { type: "button", class: "plain", "aria-label": "Close", onclick: () => box.close() }, "✕");
  const row = el("div", { class: "dialog-row" });
  for (const b of buttons) {
    row.append(
      el(
        "button",
        {
          type: "button",
          class: b.main ? "main" : "",
          autofocus: Boolean(b.main),
          onclick: () => {
            if (!b.act || b.act() !== false) box.close();
          },
        },
        b.label,
      ),
    );
  }
  box.append(
    el("div", { class: "dialog-head" }, el("h2", { id: `${id}-title` }, title), close),
    el("div", { class: "dialog-body" }, body),
    ...(buttons.length ? [row] : []),
  );
  box.addEventListener("close", () => box.remove());
  document.body.append(box);
  box.showModal();
  return box;
}

export const capital = (text) => String(text ?? "").charAt(0).toUpperCase() + String(text ?? "").slice(1);

/** What went wrong, with what is allowed and what to do. */
export function trouble(problem, { id = "" } = {}) {
  const box = el("div", { class: "trouble", id: id || null });
  const line = problem.field && !problem.path ? `${problem.field}: ${problem.message}` : capital(problem.message);
  box.append(el("p", {}, line));
  if (problem.allowed) box.append(el("p", {}, el("b", {}, "Allowed: "), problem.allowed));
  if (problem.remedy) box.append(el("p", {}, el("b", {}, "Do: "), problem.remedy));
  return box;
}

/** What a refused text may have meant, as the error says it: "did you mean 94-1/2 (inches) or 9'-4 1/2" (feet and inches)?" */
export function meant(problem) {
  const asked = /did you mean (.+)\?/i.exec([problem.message, problem.remedy].join(" "))?.[1] ?? "";
  return asked.split(" or ").map((part) => part.replace(/ \(.*\)$/, "").trim()).filter((text) => /^\d/.test(text)); // prettier-ignore
}

/** Buttons that put a likely meaning into a field. */
export function meanings(problem, use) {
  const texts = meant(problem);
  if (!texts.length) return "";
  return el("p", { class: "meant" }, texts.map((text) => el("button", { type: "button", class: "small", onclick: () => use(text) }, `Use ${text}`)));
}

/** "+48 lb" as an arrow and words; "" where nothing moved. */
export function moved(move) {
  if (!move) return "";
  const up = move.startsWith("+");
  const down = /^[-−–]/.test(move);
  return up ? `↑ ${move.slice(1).trim()} more` : down ? `↓ ${move.slice(1).trim()} less` : `→ ${move}`;
}

/** The same in the least room: an arrow, the sign and the figure. */
export function movedShort(move) {
  if (!move) return "";
  return move.startsWith("+") ? `↑ ${move}` : /^[-−–]/.test(move) ? `↓ ${move.replace(/^-/, "−")}` : `→ ${move}`;
}

export function when(iso) {
  const at = new Date(iso);
  if (Number.isNaN(at.getTime())) return String(iso ?? "");
  return at.toLocaleString([], { dateStyle: "medium", timeStyle: "short" });
}
