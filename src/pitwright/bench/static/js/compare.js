// Compare: the pinned state and the one in hand laid over each other, and every figure that differs.

import { el, moved, refill } from "/static/js/dom.js";

const VIEWS = ["side", "stack end", "fire end", "plan", "wrap map"];

export class Compare {
  constructor(host, { pin, unpin, ask, pinned }) {
    this.host = host;
    this.pin = pin;
    this.unpin = unpin;
    this.ask = ask;
    this.view = "side";
    this.answer = null;
    this.show();
    if (pinned) this.ask(this.view);
  }

  take(answer) {
    this.answer = answer;
    this.show();
  }

  /** A state was pinned, or none is any more. */
  pinned(pin) {
    if (pin) this.ask(this.view);
    else this.take(null);
  }

  show() {
    const a = this.answer;
    if (!a?.pinned) {
      refill(
        this.host,
        el("div", { class: "compare" },
          el("p", {}, "Pin the pit as it is now, then change something: both are drawn over each other, with every figure that differs."),
          el("button", { type: "button", class: "main", id: "pin", "data-key": "pin", onclick: this.pin }, "Pin this one")),
      ); // prettier-ignore
      return;
    }
    const sheet = el("div", { class: "both", role: "img", "aria-label": `Both pits drawn over each other, ${this.view}; the pinned one dashed` });
    if (a.views?.[this.view]) {
      const parsed = new DOMParser().parseFromString(a.views[this.view], "image/svg+xml").documentElement;
      if (parsed.nodeName === "svg") sheet.append(document.importNode(parsed, true));
    }
    const rows = a.rows ?? [];
    refill(
      this.host,
      el("div", { class: "compare" },
        el("div", { class: "compare-head" },
          el("p", {}, el("span", { class: "key ghost", "aria-hidden": "true" }), "pinned: ", el("b", {}, a.pinned.label || "as pinned"), "  ",
            el("span", { class: "key now", "aria-hidden": "true" }), "now"),
          el("div", { class: "tools" },
            VIEWS.map((v) => el("button", { type: "button", "data-key": `both ${v}`, "aria-pressed": String(v === this.view), onclick: () => { this.view = v; this.show(); this.ask(v); } }, v)),
            el("button", { type: "button", "data-key": "pin", onclick: this.pin }, "Pin this one instead"),
            el("button", { type: "button", "data-key": "unpin", onclick: this.unpin }, "Unpin"))),
        sheet,
        rows.length
          ? el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Figures that differ" }, el("table", {},
              el("caption", { class: "unseen" }, "Figures that differ"),
              el("thead", {}, el("tr", {}, ["figure", "pinned", "now", "moved"].map((t) => el("th", { scope: "col" }, t)))),
              el("tbody", {}, rows.map((r) => el("tr", {},
                el("th", { scope: "row" }, r.group ? `${r.group}: ${r.label}` : r.label), el("td", {}, r.pinned), el("td", {}, r.now), el("td", {}, moved(r.move)))))))
          : el("p", { id: "no-difference" }, "No figure differs.")),
    ); // prettier-ignore
  }

  picture() {
    if (this.answer?.pinned) this.ask(this.view);
  }

  close() {
    this.host.replaceChildren();
  }
}
