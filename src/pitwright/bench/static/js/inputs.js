// The fields of the job, in the order a pit is thought out. What is typed is kept until it is taken or taken back.

import { $, capital, el, meanings, say, trouble } from "/static/js/dom.js";

const keyOf = (path) => JSON.stringify(path);
const idOf = (path) => `field-${path.join("-").replaceAll(/[^\w-]+/g, "_")}`;
const SHORT = new Set(["length", "angle", "count", "temperature", "mass", "ratio", "area", "number"]);
const NAMES = "Name, customer, date";
const OPEN_AT_FIRST = new Set(["vessel", "grates"]);

/** Under which heading of its group a field stands; "" for the first ones, which are always in view. */
const partOf = (data) => (data.blank ? "" : (data.part ?? ""));

export class Inputs {
  /** `on`: {commit(field, value) -> Promise, why(name), head()}. */
  constructor(host, on) {
    this.host = host;
    this.on = on;
    this.fields = new Map();
    this.groups = new Map();
  }

  show(groups) {
    const wanted = [];
    for (const group of groups) {
      let box = this.groups.get(group.group);
      if (!box) {
        box = this.group(group);
        this.groups.set(group.group, box);
      }
      const parts = new Map();
      for (const data of group.fields) {
        const part = partOf(data);
        const list = parts.get(part) ?? { first: [], more: [] };
        list[data.more ? "more" : "first"].push(this.field(data, part).node);
        parts.set(part, list);
      }
      const top = parts.get("") ?? { first: [], more: [] };
      const nodes = [...top.first];
      if (top.more.length) nodes.push(this.more(box, "", top.more));
      for (const [part, list] of parts) {
        if (!part) continue;
        const inside = [...list.first];
        if (list.more.length) inside.push(list.first.length ? this.more(box, part, list.more) : list.more);
        nodes.push(this.part(box, part, inside.flat()));
      }
      box.title.textContent = group.title;
      const blank = group.fields.filter((f) => f.blank).length;
      box.count.textContent = blank ? `${blank} to measure` : "";
      if (nodes.length !== box.body.children.length || nodes.some((n, i) => n !== box.body.children[i])) {
        arrange(box.body, nodes);
      }
      wanted.push(box.node);
    }
    for (const box of this.groups.values()) {
      for (const [name, part] of box.parts) if (!part.node.isConnected && box.node.isConnected) box.parts.delete(name);
    }
    const keep = new Set(groups.flatMap((g) => g.fields.map((f) => keyOf(f.path))));
    for (const [key, field] of this.fields) {
      if (keep.has(key)) continue;
      field.node.remove();
      this.fields.delete(key);
    }
    if (wanted.length !== this.host.children.length || wanted.some((n, i) => n !== this.host.children[i])) {
      arrange(this.host, wanted);
    }
  }

  group(group) {
    const title = el("span", {});
    const count = el("span", { class: "count" });
    const body = el("div", { class: "fields" });
    const node = el(
      "details",
      { class: "group", id: `group-${group.group}`, open: OPEN_AT_FIRST.has(group.group) || group.fields.some((f) => f.blank) },
      el("summary", {}, title, count),
      body,
    );
    return { node, title, count, body, parts: new Map(), mores: new Map() };
  }

  part(box, name, nodes) {
    let part = box.parts.get(name);
    if (!part) {
      const body = el("div", {});
      part = { body, node: el("details", { class: "part", open: name === NAMES }, el("summary", {}, name), body) };
      box.parts.set(name, part);
    }
    if (nodes.length !== part.body.children.length || nodes.some((n, i) => n !== part.body.children[i])) arrange(part.body, nodes);
    return part.node;
  }

  /** What is seldom asked, folded under the rest of a heading. */
  more(box, part, nodes) {
    let more = box.mores.get(part);
    if (!more) {
      const body = el("div", {});
      const count = el("span", {});
      more = { body, count, node: el("details", { class: "part more" }, el("summary", {}, count), body) };
      box.mores.set(part, more);
    }
    more.count.replaceChildren(`${nodes.length} more`, el("span", { class: "unseen" }, part ? ` of ${part}` : ""));
    if (nodes.length !== more.body.children.length || nodes.some((n, i) => n !== more.body.children[i])) arrange(more.body, nodes);
    return more.node;
  }

  field(data, part) {
    const key = keyOf(data.path);
    let field = this.fields.get(key);
    if (field && field.data.kind !== data.kind) {
      field.node.remove();
      this.fields.delete(key);
      field = null;
    }
    if (!field) {
      field = this.make(data);
      this.fields.set(key, field);
    }
    this.dress(field, data, part);
    return field;
  }

  make(data) {
    const id = idOf(data.path);
    const control =
      data.kind === "choice" || data.kind === "yes-no"
        ? el("select", { id })
        : el("input", { id, type: "text", inputmode: data.kind === "count" ? "numeric" : null, autocomplete: "off", spellcheck: "false" });
    const label = el("label", { for: id });
    const hint = el("span", { class: "unit" });
    const ask = el("button", { type: "button", class: "link why" }, "why");
    const force = el("p", { class: "force", id: `${id}-force` });
    const help = el("p", { class: "help quiet", id: `${id}-help` });
    const fault = el("div", { id: `${id}-fault` });
    const node = el("div", { class: "field" }, el("div", { class: "field-head" }, label, hint, ask), control, force, help, fault);
    const field = { data, node, control, label, hint, ask, force, help, fault, saved: "", dirty: false, base: null, refused: false };
    ask.addEventListener("click", () => field.data.why && this.on.why(field.data.why));
    control.addEventListener("input", () => {
      if (!field.dirty) field.base = this.on.head();
      field.dirty = control.value !== field.saved;
      node.classList.toggle("dirty", field.dirty);
    });
    control.addEventListener("change", () => this.commit(field));
    control.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && control.nodeName === "INPUT") {
        event.preventDefault();
        this.commit(field);
      } else if (event.key === "Escape" && (field.dirty || field.refused)) {
        event.preventDefault();
        event.stopPropagation();
        control.value = field.saved;
        field.dirty = false;
        node.classList.remove("dirty");
        this.fault(field, null);
        say(`${field.data.label} is back at ${field.saved || "blank"}`);
      }
    });
    return field;
  }

  dress(field, data, part) {
    const { control, label, hint, ask, force, help, node } = field;
    field.data = data;
    node.classList.toggle("short", SHORT.has(data.kind));
    const plain = data.plain ?? data.label;
    if (!part || data.path[0] === "job") label.replaceChildren(capital(plain));
    else label.replaceChildren(el("span", { class: "unseen" }, `${part}: `), capital(plain));
    hint.textContent = data.unit_hint ?? "";
    ask.hidden = !data.why;
    ask.setAttribute("aria-label", `Why is ${data.label} what it is`);
    help.textContent = data.help ?? "";
    help.hidden = !data.help;
    const text = textOf(data);
    if (control.nodeName === "SELECT") this.choices(field, data);
    const old = field.saved;
    field.saved = text;
    if (!field.dirty && !field.refused && control.value !== text) control.value = text;
    else if (field.dirty && text === control.value) field.dirty = false;
    else if (field.dirty && !field.sending && old !== text) {
      say(`${data.label} was changed elsewhere to ${text || "blank"}; what you typed is kept`);
    }
    node.classList.toggle("dirty", field.dirty);
    node.classList.toggle("blank", Boolean(data.blank) && !control.value);
    const words = [];
    if (data.blank && !text) words.push(el("b", { class: "measure" }, data.blank));
    else if (!text && data.shown && control.nodeName !== "SELECT") words.push(el("span", {}, data.path[0] === "proportions" ? "the rule gives " : "taken as "), el("b", {}, data.shown));
    else if (text && data.shown && data.shown !== text) words.push(el("span", {}, "read as "), el("b", {}, data.shown));
    force.replaceChildren(...words);
    force.hidden = !words.length;
    control.setAttribute("aria-describedby", `${force.id} ${help.id} ${field.fault.id}`);
    if (data.blank) control.setAttribute("aria-required", "true");
  }

  choices(field, data) {
    const { control } = field;
    const options = data.kind === "yes-no" ? [["true", "yes"], ["false", "no"]] : (data.choices ?? []).map(pair);
    const rest = data.none ?? (data.path[0] === "proportions" ? "as the shop does" : "not stated");
    const all = [["", data.shown ? `${rest}: ${data.shown}` : rest], ...options];
    const print = JSON.stringify(all);
    if (field.print === print) return;
    field.print = print;
    const now = control.value;
    control.replaceChildren(...all.map(([value, text]) => el("option", { value }, text)));
    control.value = field.dirty ? now : textOf(data);
  }

  async commit(field) {
    const { control, data, node } = field;
    const text = control.value.trim();
    if (text === field.saved && !field.refused) {
      field.dirty = false;
      node.classList.remove("dirty");
      return;
    }
    if (field.sending === text) return;
    field.sending = text;
    node.classList.add("sending");
    try {
      await this.on.commit(data, valueOf(data, text), field.base);
      this.fault(field, null);
      if (control.value.trim() === text) {
        field.dirty = false;
        field.saved = text;
        if (textOf(field.data) !== text) control.value = textOf(field.data) || text;
      } else field.base = this.on.head();
    } catch (problem) {
      if (problem?.error) this.fault(field, problem.error);
    } finally {
      field.sending = null;
      node.classList.remove("sending");
      node.classList.toggle("dirty", field.dirty);
    }
  }

  /** Puts an error at its field; null takes it away. */
  fault(field, problem, { ofPicture = false } = {}) {
    field.refused = Boolean(problem) && !ofPicture;
    field.ofPicture = Boolean(problem) && ofPicture;
    if (problem) {
      const use = (text) => {
        field.control.value = text;
        field.control.focus();
        this.commit(field);
      };
      field.fault.replaceChildren(trouble({ ...problem, path: field.data.path }), meanings(problem, use));
      field.control.setAttribute("aria-invalid", "true");
      say([`${field.data.label}: ${problem.message}`, problem.allowed && `Allowed: ${problem.allowed}`, problem.remedy].filter(Boolean).join(". "));
    } else {
      field.fault.replaceChildren();
      field.control.removeAttribute("aria-invalid");
    }
  }

  /** What the whole picture says of one field. True where the field is on the page. */
  problem(problem) {
    const key = problem?.path ? keyOf(problem.path) : null;
    for (const [k, field] of this.fields) if (field.ofPicture && k !== key) this.fault(field, null);
    const field = key && this.fields.get(key);
    if (!field) return false;
    if (!field.refused) this.fault(field, problem, { ofPicture: true });
    unfold(field.node);
    return true;
  }

  has(path) {
    return this.fields.has(keyOf(path)) || [...this.fields.keys()].some((k) => k.startsWith(`${keyOf(path).slice(0, -1)},`));
  }

  /** Takes the focus to a field. */
  focus(path) {
    const field = this.fields.get(keyOf(path)) ?? [...this.fields].find(([k]) => k.startsWith(keyOf(path).slice(0, -1)))?.[1];
    if (!field) return false;
    unfold(field.node);
    field.control.focus();
    field.node.scrollIntoView({ block: "center" });
    return true;
  }

  get typing() {
    return [...this.fields.values()].some((f) => f.dirty);
  }
}

function pair(choice) {
  if (Array.isArray(choice)) return [String(choice[0]), String(choice[1])];
  if (choice && typeof choice === "object") return [String(choice.value), String(choice.label ?? choice.value)];
  return [String(choice), String(choice)];
}

function textOf(data) {
  if (data.text === null || data.text === undefined) return "";
  if (data.kind === "yes-no") return data.text === true || data.text === "true" || data.text === "yes" ? "true" : data.text === "" ? "" : "false";
  return String(data.text);
}

/** What goes into the job file for a typed text; nothing takes the line out. */
function valueOf(data, text) {
  if (text === "") return null;
  if (data.kind === "yes-no") return text === "true";
  if (data.kind === "count" && /^\d+$/.test(text)) return Number(text);
  return text;
}

function unfold(node) {
  for (let d = node.closest("details"); d; d = d.parentElement.closest("details")) d.open = true;
}

/** Children in a new order without losing the focus of one that stays. */
function arrange(host, nodes) {
  const had = document.activeElement;
  host.replaceChildren(...nodes);
  if (had && had !== document.activeElement && host.contains(had)) had.focus({ preventScroll: true });
}
