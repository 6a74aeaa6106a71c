// The way to the shop floor: the address on the shop's network and the one-time pass code.

import { ask, el, refill, say, trouble } from "/static/js/dom.js";
import { fetchJson, rid } from "/static/js/talk.js";

export async function shopFloor(job) {
  const body = el("div", { class: "share" }, el("p", {}, "…"));
  ask("Shop floor", body, [{ label: "Close" }], { key: "floor" });
  const here = `/floor/${encodeURIComponent(job)}`;
  const open = el("p", {}, el("a", { class: "button", id: "floor-link", href: here }, "Open it on this screen"));
  const show = (share) => {
    if (!share?.on) {
      body.replaceChildren(
        open,
        el("p", { class: "quiet" }, "To use it on a phone or tablet, start the bench with “pitwright bench --share”; the address and a pass code stand here then."),
      );
      return;
    }
    const link = `http://${share.address}${here}`;
    const fresh = el("button", { type: "button", id: "new-code", "data-key": "new-code" }, share.code ? "Make another code" : "Make a pass code");
    fresh.addEventListener("click", async () => {
      try {
        await fetchJson("/api/share", { method: "POST", body: { rid: rid() } });
        const now = await fetchJson("/api/share");
        show(now);
        say(`New pass code ${now.code.split("").join(" ")}`);
        body.querySelector("#new-code")?.focus();
      } catch (problem) {
        body.append(trouble(problem.error));
      }
    });
    const devices = share.devices ?? [];
    refill(
      body,
      open,
      el("p", {}, "On the phone or tablet, on the shop's network, go to"),
      el("p", { class: "big-code address" }, link),
      share.code
        ? [el("p", {}, "and type this pass code, good once:"), el("p", { class: "big-code", id: "share-code" }, share.code.replace(/^(\d{4})(\d{4})$/, "$1 $2"))]
        : el("p", {}, "It asks for a pass code."),
      fresh,
      el("p", { class: "quiet" }, "The way there is not encrypted: only on a network you trust."),
      devices.length
        ? [
            el("h3", {}, "Let in so far"),
            el("ul", { class: "devices" }, devices.map((d) => {
              const out = el("button", { type: "button", class: "small", "aria-label": `Show ${d.name} out` }, "Show out");
              out.addEventListener("click", async () => {
                await fetchJson("/api/share/revoke", { method: "POST", body: { key: d.key, rid: rid() } }).catch(() => null);
                show(await fetchJson("/api/share"));
              });
              return el("li", {}, d.name, " ", out);
            })),
          ]
        : null,
    ); // prettier-ignore
  };
  try {
    show(await fetchJson("/api/share"));
  } catch (problem) {
    if (problem.status === 403) refill(body, open); // a device that was let in: codes are the bench's own affair
    else show(null);
  }
}
