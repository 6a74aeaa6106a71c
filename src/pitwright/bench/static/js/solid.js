// The 3-D view: the pit to turn, cut, pull apart and weigh. The list of pieces does everything the picture does.

import { el, refill, say, trouble } from "/static/js/dom.js";
import { makeScene, VIEWS } from "/static/js/solid_scene.js";
import { colours, newId, slider, watchScheme, weight } from "/static/js/view_kit.js";

const KEYS = "Arrow keys turn it, Shift and arrow keys move it, plus and minus zoom, 1 to 6 are the views, 0 fits it in.";
const CUTS = [
  ["along", "Cut across the length", "the fire end", "the stack end"],
  ["across", "Cut along the middle", "the back", "the working side"],
  ["level", "Cut level", "the floor", "the top"],
];

/** The view inside the job page. */
export function open(host, desk) {
  const view = mount(host, { fetchSolid: () => desk.ask(`/api/jobs/${desk.id}/solid`) });
  return { picture: (p) => p.full !== false && view.update(), close: view.destroy };
}

/**
 * Puts the view into an element.
 * fetchSolid: () => Promise of the pieces; onPick: called with the marks picked; calm: the wheel scrolls the page until
 * the picture is taken in hand.
 */
export function mount(element, { fetchSolid, onPick = () => {}, calm = false }) {
  let data = null;
  let scene = null;
  let flat = []; // without WebGL: the copies, as the list needs them
  let unseen = 0;
  let again = false;
  let busy = false;
  const cuts = CUTS.map(() => ({ on: false, share: 0.5, other: false }));
  const opened = {};

  const canvas = el("canvas", {
    class: "solid-canvas",
    tabindex: "0",
    role: "application",
    "aria-label": "The pit in three dimensions",
    "aria-describedby": "solid-keys",
  });
  const tag = el("div", { class: "solid-tag", hidden: true, "aria-hidden": "true" });
  const message = el("div", { class: "solid-message", role: "status" }, "Making the pieces…");
  const printed = el("img", { class: "solid-print", alt: "The pit as it stands in the view" });
  const stage = el("div", { class: "solid-stage" }, canvas, printed, tag, message);
  const views = el(
    "div",
    { class: "solid-views", role: "group", "aria-label": "Look from" },
    VIEWS.map(([key, name]) => el("button", { type: "button", onclick: () => scene && scene.look(key) }, name)),
    el("button", { type: "button", onclick: () => scene && scene.zoom(1.25), "aria-label": "Zoom in" }, "+"),
    el("button", { type: "button", onclick: () => scene && scene.zoom(0.8), "aria-label": "Zoom out" }, "−"),
    el("button", { type: "button", onclick: () => scene && scene.fit() }, "Fit"),
  );
  const keys = el("p", { id: "solid-keys", class: "quiet solid-keys" }, `${KEYS} Click a piece to weigh it.`);
  const ways = el("div", { class: "solid-ways" });
  const sum = el("section", { class: "solid-sum", "aria-labelledby": "solid-sum-head" });
  const list = el("section", { class: "solid-list", "aria-labelledby": "solid-list-head" });
  const side = el("div", { class: "solid-side" }, sum, list);
  element.classList.add("solid");
  element.append(el("div", { class: "solid-grid" }, el("div", { class: "solid-main" }, views, stage, keys, ways), side));

  const sized = new ResizeObserver(() => {
    if (!scene) return;
    scene.resize(stage.clientWidth, stage.clientHeight);
    scene.fit();
    label();
  });
  const unwatch = watchScheme(() => scene && scene.recolour(colours()));

  // ---------------------------------------------------------------- the pieces

  const copies = () => (scene ? scene.copies() : flat);
  const picked = () => copies().filter((c) => c.picked);
  const hidden = () => copies().filter((c) => c.hidden);

  function load(fresh) {
    const first = data === null;
    data = fresh;
    if (first) {
      try {
        scene = makeScene(canvas, { colours: colours(), onChange: label, calm });
      } catch {
        scene = null;
      }
    }
    if (scene) {
      scene.load(data);
      message.hidden = true;
      if (first) {
        scene.resize(stage.clientWidth, stage.clientHeight);
        sized.observe(stage);
        scene.look("corner");
      }
      for (const [axis, cut] of cuts.entries()) scene.cut(axis, cut);
    } else {
      const before = new Map(flat.map((c) => [c.key, c]));
      flat = data.pieces.flatMap((piece) =>
        piece.copies.map((copy, number) => {
          const key = `${piece.mark}/${number + 1}`;
          return { key, piece, copy, picked: before.get(key)?.picked ?? false, hidden: false };
        }),
      );
      canvas.hidden = true;
      for (const control of element.querySelectorAll(".solid-views button")) control.disabled = true;
      message.hidden = false;
      message.replaceChildren(
        el("p", {}, el("b", {}, "No picture in three dimensions here.")),
        el("p", {}, "This browser has no WebGL, or it is turned off. The list of pieces beside it still weighs them."),
      );
    }
    if (first) makeWays();
    fillList();
    tell();
    canvas.dataset.ready = "true";
  }

  function toggle(entries, to) {
    const on = to ?? !entries.every((c) => c.picked);
    if (scene) scene.pick(entries, on);
    else for (const entry of entries) entry.picked = on;
    tell();
    const one = entries[0].piece;
    const count = entries.length > 1 ? `, ${entries.length} of them` : "";
    say(
      on
        ? `${one.mark} ${one.name}${count}, ${weight(one.mass * entries.length, data.weigh)}, ${one.stock}. ${total()}`
        : `${one.mark} put back. ${total()}`,
    );
    onPick([...new Set(picked().map((c) => c.piece.mark))]);
  }

  function total() {
    const all = picked();
    if (!all.length) return "Nothing picked.";
    const mass = all.reduce((sum, c) => sum + c.piece.mass, 0);
    return `${all.length === 1 ? "1 piece" : `${all.length} pieces`} picked, ${weight(mass, data.weigh)}.`;
  }

  function tell() {
    const all = picked();
    const head = el("h2", { id: "solid-sum-head" }, all.length ? "Picked" : "Weight");
    if (!all.length) {
      refill(sum,
        head,
        el("p", { class: "solid-weight" }, data.weight),
        el("p", { class: "quiet" }, `The pit empty; its pieces are ${data.pieces_weight} of it, the rest is weld, scale and paint.`),
        hidden().length ? buttons(all) : null,
      );
    } else {
      const mass = all.reduce((whole, c) => whole + c.piece.mass, 0);
      const guessed = all.some((c) => c.piece.assumed);
      const marks = new Map();
      for (const c of all) marks.set(c.piece.mark, [...(marks.get(c.piece.mark) || []), c]);
      refill(sum,
        head,
        el("p", { class: "solid-weight" }, weight(mass, data.weigh)),
        el(
          "ul",
          { class: "solid-picked" },
          [...marks.values()].map((some) => {
            const piece = some[0].piece;
            const count = some.length > 1 ? ` × ${some.length}` : "";
            const where = some.length === 1 && some[0].copy.where ? `, ${some[0].copy.where}` : "";
            return el(
              "li",
              {},
              el("b", {}, piece.mark),
              ` ${piece.name}${count}${where}`,
              el("span", { class: "quiet" }, ` ${piece.stock}; ${weight(piece.mass, data.weigh)}${some.length > 1 ? " each" : ""}${piece.assumed ? ", assumed" : ""}`),
            );
          }),
        ),
        el("p", { class: "quiet" }, guessed ? "From true shapes; what is marked assumed is a stated weight. Weld and paint not counted." : "From true shapes; weld and paint not counted."),
        buttons(all),
      );
    }
    marks();
    label();
  }

  function buttons(all) {
    const away = hidden();
    return el(
      "div",
      { class: "solid-buttons" },
      all.length
        ? [
            el("button", { type: "button", onclick: () => toggle(picked(), false) }, "Put back"),
            scene && el("button", { type: "button", onclick: () => hide(all) }, "Hide"),
            scene && el("button", { type: "button", onclick: () => hide(copies().filter((c) => !c.picked)) }, "Only these"),
          ]
        : null,
      away.length
        ? el("button", { type: "button", onclick: () => (scene.show(hidden(), false), tell(), say("All pieces show.")) }, "Show all")
        : null,
    );
  }

  function hide(entries) {
    scene.show(entries, true);
    scene.pick(entries, false);
    tell();
    say(`${entries.length} pieces hidden.`);
    (sum.querySelector("button") || canvas).focus();
  }

  function fillList() {
    refill(list,
      el("h2", { id: "solid-list-head" }, "Pieces"),
      data.groups.map((group) => {
        const pieces = data.pieces.filter((p) => p.group === group.key);
        return el(
          "fieldset",
          {},
          el("legend", {}, group.name),
          pieces.map((piece) => {
            const id = newId("piece");
            const box = el("input", {
              type: "checkbox",
              id,
              "data-mark": piece.mark,
              "data-key": `piece ${piece.mark}`,
              onchange: () => toggle(copies().filter((c) => c.piece.mark === piece.mark), box.checked),
            });
            const count = piece.copies.length;
            const each = weight(piece.mass, data.weigh);
            return el(
              "div",
              { class: "solid-piece" },
              box,
              el(
                "label",
                { for: id },
                el("b", {}, piece.mark),
                el("span", {}, piece.name + (count > 1 ? ` × ${count}` : "")),
                el("span", { class: "number" }, count > 1 ? `${each} each` : each),
              ),
            );
          }),
        );
      }),
    );
    marks();
  }

  function marks() {
    const all = copies();
    for (const box of list.querySelectorAll("input[data-mark]")) {
      const mine = all.filter((c) => c.piece.mark === box.dataset.mark);
      const on = mine.filter((c) => c.picked).length;
      box.checked = on === mine.length && on > 0;
      box.indeterminate = on > 0 && on < mine.length;
    }
  }

  // Where the list scrolls by itself, the row of what was clicked comes into sight.
  function toRow(mark) {
    const row = list.querySelector(`[data-mark="${CSS.escape(mark)}"]`)?.parentElement;
    if (!row || side.scrollHeight <= side.clientHeight + 4) return;
    const [high, low] = [side.scrollTop + sum.offsetHeight, side.scrollTop + side.clientHeight];
    const at = row.getBoundingClientRect().top - side.getBoundingClientRect().top + side.scrollTop;
    if (at < high || at + row.offsetHeight > low) side.scrollTop = at - sum.offsetHeight - 12;
  }

  function label() {
    if (!scene || !data) return;
    const last = picked().filter((c) => !c.hidden);
    const at = last.length === 1 ? scene.where(last[0]) : null;
    tag.hidden = !at;
    if (!at) return;
    const piece = last[0].piece;
    tag.replaceChildren(el("b", {}, piece.mark), ` ${piece.name}, ${weight(piece.mass, data.weigh)}`);
    const room = stage.clientWidth - tag.offsetWidth - 8;
    tag.style.left = `${Math.max(8, Math.min(at[0] + 10, room))}px`;
    tag.style.top = `${Math.max(8, Math.min(at[1] - 36, stage.clientHeight - 40))}px`;
  }

  // ---------------------------------------------------------------- sliders

  function makeWays() {
    const percent = (v) => `${Math.round(v)} %`;
    const doors = data.moves.filter((m) => m.kind === "swing");
    const slides = data.moves.filter((m) => m.kind === "slide");
    const own = new Map();
    const one = (move) => {
      const row = slider({
        label: move.name,
        low: 0,
        high: 100,
        step: 1,
        value: 0,
        text: (v) => (v === 0 ? "shut" : v === 100 ? `open, ${move.text}` : percent(v)),
        act: (v) => set(move, v / 100),
      });
      own.set(move.name, row);
      return row.row;
    };
    const set = (move, share) => {
      opened[move.name] = share;
      scene.open(move.name, share);
    };
    const together = (moves, name, shut, wide) =>
      moves.length
        ? slider({
            label: name,
            low: 0,
            high: 100,
            step: 1,
            value: 0,
            text: (v) => (v === 0 ? shut : v === 100 ? wide : percent(v)),
            act: (v) => {
              for (const move of moves) {
                set(move, v / 100);
                own.get(move.name).set(v);
              }
            },
          }).row
        : null;
    const each = data.moves.map(one);
    refill(ways,
      el(
        "fieldset",
        {},
        el("legend", {}, "Open it"),
        together(doors, "Doors", "shut", "open"),
        together(slides, "Slides", "in", "out"),
        slider({
          label: "Pull apart",
          low: 0,
          high: 100,
          step: 1,
          value: 0,
          text: (v) => (v === 0 ? "together" : percent(v)),
          act: (v) => scene.pull(v / 100),
        }).row,
        data.moves.length > 1 ? el("details", {}, el("summary", {}, "Each by itself"), each) : null,
      ),
      el("fieldset", {}, el("legend", {}, "Cut it open"), CUTS.map((names, axis) => cutRow(names, axis))),
    );
    if (!scene) for (const input of ways.querySelectorAll("input, button")) input.disabled = true;
  }

  function cutRow([, name, low, high], axis) {
    const id = newId("cut");
    const state = cuts[axis];
    const send = () => scene.cut(axis, state);
    const row = slider({
      label: "Where",
      low: 0,
      high: 100,
      step: 0.5,
      value: 50,
      text: (v) => `${Math.round(v)} % from ${low}`,
      act: (v) => {
        state.share = axis === 0 && data.hand < 0 ? 1 - v / 100 : v / 100;
        send();
      },
    });
    row.input.setAttribute("aria-label", `${name}: where, from ${low} to ${high}`);
    const turn = el(
      "button",
      {
        type: "button",
        "aria-pressed": "false",
        onclick: () => {
          state.other = !state.other;
          turn.setAttribute("aria-pressed", String(state.other));
          send();
        },
      },
      "Other half",
    );
    const more = el("div", { class: "solid-cut", hidden: true }, row.row, turn);
    const box = el("input", {
      type: "checkbox",
      id,
      onchange: () => {
        state.on = box.checked;
        more.hidden = !box.checked;
        send();
      },
    });
    return el("div", {}, el("div", { class: "solid-piece" }, box, el("label", { for: id }, name)), more);
  }

  // ---------------------------------------------------------------- hands and keys

  let down = null;
  canvas.addEventListener("pointerdown", (event) => {
    down = { x: event.clientX, y: event.clientY, at: event.timeStamp, id: event.pointerId };
  });
  canvas.addEventListener("pointerup", (event) => {
    if (!scene || !down || event.pointerId !== down.id || event.button > 0) return;
    const far = Math.hypot(event.clientX - down.x, event.clientY - down.y);
    const long = event.timeStamp - down.at;
    down = null;
    if (far > 5 || long > 600) return;
    const box = canvas.getBoundingClientRect();
    const entry = scene.under(event.clientX - box.left, event.clientY - box.top);
    if (!entry) return;
    toggle([entry]);
    toRow(entry.piece.mark);
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!scene || event.buttons || event.pointerType !== "mouse") return;
    cancelAnimationFrame(unseen);
    unseen = requestAnimationFrame(() => {
      const box = canvas.getBoundingClientRect();
      const entry = scene.under(event.clientX - box.left, event.clientY - box.top);
      canvas.title = entry ? `${entry.piece.mark} ${entry.piece.name}, ${weight(entry.piece.mass, data.weigh)}` : "";
      canvas.classList.toggle("over", Boolean(entry));
    });
  });
  canvas.addEventListener("keydown", (event) => {
    if (!scene || event.ctrlKey || event.metaKey || event.altKey) return;
    const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };
    const way = arrows[event.key];
    if (way && event.shiftKey) scene.pan(-way[0] * 0.05, -way[1] * 0.05);
    else if (way) scene.turn(way[0] * 0.1, way[1] * 0.1);
    else if (event.key === "+" || event.key === "=") scene.zoom(1.15);
    else if (event.key === "-") scene.zoom(1 / 1.15);
    else if (event.key === "0") scene.fit();
    else if (/^[1-6]$/.test(event.key)) {
      const [key, name] = VIEWS[Number(event.key) - 1];
      scene.look(key);
      say(`Seen from: ${name}`);
    } else return;
    event.preventDefault();
    event.stopPropagation();
  });
  canvas.addEventListener("webglcontextlost", (event) => {
    event.preventDefault();
    message.hidden = false;
    message.textContent = "The picture was lost. Leave this view and come back to it.";
  });

  // ---------------------------------------------------------------- coming and going

  let over = false;
  const forPrint = () => {
    if (scene) printed.src = scene.still(1600, 900, { paper: "#ffffff", ink: "#000000", accent: "#00676c", dark: false });
  };
  window.addEventListener("beforeprint", forPrint);

  async function update() {
    if (busy) {
      again = true;
      return;
    }
    busy = true;
    do {
      again = false;
      try {
        const fresh = await fetchSolid();
        if (!over) load(fresh);
      } catch (problem) {
        if (!over && data === null) {
          message.replaceChildren(trouble(problem?.error || { message: "The pieces could not be made." }));
        }
      }
    } while (again && !over);
    busy = false;
  }

  update();
  return {
    update,
    destroy() {
      over = true;
      window.removeEventListener("beforeprint", forPrint);
      sized.disconnect();
      unwatch();
      cancelAnimationFrame(unseen);
      if (scene) scene.close();
      element.classList.remove("solid");
      element.replaceChildren();
    },
  };
}
