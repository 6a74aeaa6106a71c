// Typing a value on a dimension: a small box at the place, any way a tape is read. What is refused stays to be mended.

import { el, meanings, say, trouble } from "/static/js/dom.js";

let open = null;

/** Opens the box at `anchor`. `on`: {head(), store(name, text, base) -> Promise, why(name), label(name)}. */
export function typeOn(board, anchor, name, text, on) {
  close(false);
  const back = anchor;
  const base = on.head();
  const field = el("input", { id: "typed-value", type: "text", autocomplete: "off", spellcheck: "false", value: text.trim() });
  const fault = el("div", { id: "typed-fault" });
  const form = el(
    "form",
    { class: "typed", "aria-label": `Type ${on.label(name)}` },
    el("label", { for: "typed-value" }, on.label(name)),
    el("div", { class: "typed-row" }, field, el("button", { type: "submit", class: "main" }, "Set"),
      el("button", { type: "button", onclick: () => { close(false); on.why(name); } }, "Why"),
      el("button", { type: "button", class: "plain", "aria-label": "Leave it", onclick: () => close() }, "✕")),
    fault,
  ); // prettier-ignore
  field.setAttribute("aria-describedby", "typed-fault");
  let busy = false;
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (busy) return;
    busy = true;
    form.classList.add("sending");
    try {
      await on.store(name, field.value.trim(), base);
      if (open?.form === form) close();
    } catch (problem) {
      if (!problem?.error) return;
      const use = (text) => {
        field.value = text;
        form.requestSubmit();
      };
      fault.replaceChildren(trouble({ ...problem.error, field: "" }), meanings(problem.error, use));
      field.setAttribute("aria-invalid", "true");
      field.focus();
      field.select();
      place(board, form, anchor);
      say([problem.error.message, problem.error.allowed && `Allowed: ${problem.error.allowed}`, problem.error.remedy].filter(Boolean).join(". "));
    } finally {
      busy = false;
      form.classList.remove("sending");
    }
  });
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    event.preventDefault();
    event.stopPropagation();
    close();
  });
  const outside = (event) => !form.contains(event.target) && close(false);
  document.addEventListener("pointerdown", outside, true);
  open = { form, back, board, key: back?.dataset?.key, outside };
  board.append(form);
  place(board, form, anchor);
  field.focus();
  field.select();
}

function close(refocus = true) {
  if (!open) return;
  const { form, back, board, key, outside } = open;
  open = null;
  document.removeEventListener("pointerdown", outside, true);
  const had = form.contains(document.activeElement);
  form.remove();
  if (!refocus || !had) return;
  const again = back?.isConnected ? back : key && board.querySelector(`[data-key="${CSS.escape(key)}"]`);
  (again || board).focus({ preventScroll: true });
}

function place(board, form, anchor) {
  const frame = board.getBoundingClientRect();
  const spot = anchor.isConnected ? anchor.getBoundingClientRect() : frame;
  const x = spot.left + spot.width / 2 - frame.left - form.offsetWidth / 2;
  const y = spot.bottom - frame.top + 10;
  const right = Math.max(6, frame.width - form.offsetWidth - 6);
  const low = frame.height - form.offsetHeight - 6;
  form.style.left = `${Math.max(6, Math.min(right, x))}px`;
  form.style.top = `${y > low ? Math.max(6, spot.top - frame.top - form.offsetHeight - 10) : y}px`;
}
