// The frame of the job page: panels that show one at a time, folds, the sentence over the page, undo and redo.

import { $, $$ } from "/static/js/dom.js";

let shown = () => {};

/** Wires tabs and folds; `onShown(key)` hears which panel came up. */
export function wireFrame(onShown) {
  shown = onShown;
  for (const which of ["inputs", "side"]) {
    $(`#fold-${which}`).addEventListener("click", (event) => setFold(which, event.currentTarget.getAttribute("aria-expanded") !== "true"));
  }
  $("#tabs").addEventListener("click", (event) => {
    const tab = event.target.closest("[role=tab]");
    if (!tab) return;
    setFold("side", true);
    showTab(tab.id.slice(4));
  });
  $("#tabs").addEventListener("keydown", (event) => {
    const tabs = $$("#tabs [role=tab]");
    const i = tabs.indexOf(document.activeElement);
    const to = { ArrowRight: i + 1, ArrowLeft: i - 1, Home: 0, End: tabs.length - 1 }[event.key];
    if (to === undefined) return;
    event.preventDefault();
    const tab = tabs[(to + tabs.length) % tabs.length];
    showTab(tab.id.slice(4));
    tab.focus();
  });
}

/** Shows one of the right-hand panels. */
export function showTab(key) {
  for (const tab of $$("#tabs [role=tab]")) {
    const on = tab.id === `tab-${key}`;
    tab.setAttribute("aria-selected", String(on));
    tab.tabIndex = on ? 0 : -1;
    $(`#${tab.getAttribute("aria-controls")}`).hidden = !on;
  }
  shown(key);
}

/** Folds or unfolds the fields ("inputs") or the panels ("side"). */
export function setFold(which, open) {
  const button = $(`#fold-${which}`);
  button.setAttribute("aria-expanded", String(open));
  button.textContent = open ? "Fold" : "Unfold";
  $(which === "inputs" ? "#inputs-body" : "#side-body").hidden = !open;
  $(which === "inputs" ? "#inputs" : "#side").classList.toggle("folded", !open);
  $("#main").classList.toggle("all-folded", $$("#main > .side.folded").length === 2);
}

/** Says on the buttons what undo and redo would do; nothing where there is nothing. */
export function stepButtons(now) {
  for (const which of ["undo", "redo"]) {
    const button = $(`#${which}`);
    const word = which === "undo" ? "Undo" : "Redo";
    const what = now[which];
    button.setAttribute("aria-disabled", String(!what));
    button.querySelector(".label").textContent = what ? `${word}: ${what}` : word;
    button.setAttribute("aria-label", what ? `${word}: ${what}` : `${word}: nothing`);
    button.title = what ? `${word}: ${what}` : "";
  }
}

let stood = "waiting";
/** How the line to the bench stands: "open", "lost" or "waiting". */
export function line(state = stood) {
  stood = state;
  const box = $("#line");
  const unsent = Number(box.dataset.unsent ?? 0);
  if (state === "lost") {
    box.hidden = false;
    box.className = "line lost";
    box.textContent = `The line to the bench is down. ${unsent ? `${unsent === 1 ? "One change waits" : `${unsent} changes wait`} and will be sent once, when it is back.` : "What you type is kept and sent when it is back."}`;
  } else if (box.classList.contains("lost")) {
    box.className = "line";
    box.hidden = true;
    notice("The line is back.");
  }
}

let noticing = 0;
/** One sentence over the page, for some seconds. */
export function notice(text) {
  const box = $("#line");
  if (box.classList.contains("lost")) return;
  box.hidden = false;
  box.textContent = text;
  clearTimeout(noticing);
  noticing = setTimeout(() => {
    if (!box.classList.contains("lost")) box.hidden = true;
  }, 8000);
}
