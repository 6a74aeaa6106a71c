// The views with a module of their own: 3-D, fire, stand, and the pack in its dialog. Loaded when first asked for.

import { ask, el, trouble } from "/static/js/dom.js";

const FILES = { solid: "/static/js/solid.js", fire: "/static/js/fire.js", stand: "/static/js/stand.js" };

/** Opens a module in `host`; gives {picture, close}, which work before the module is there. */
export function openStage(key, host, desk) {
  let view = null;
  let gone = false;
  host.append(el("p", { class: "quiet wait" }, "…"));
  import(FILES[key]).then(
    (module) => {
      if (gone) return;
      host.replaceChildren();
      view = module.open(host, desk);
    },
    () => {
      if (gone) return;
      host.replaceChildren(trouble({ message: "This view did not load.", remedy: "Load the page again." }));
    },
  );
  return {
    picture: (p) => view?.picture(p),
    close: () => {
      gone = true;
      view?.close();
      host.replaceChildren();
    },
  };
}

/** The pack: what the shop takes away. */
export function openPack(desk) {
  const host = el("section", { class: "pack-host" });
  const box = ask("Pack: what the shop takes away", host, [], { wide: true, key: "pack" });
  let view = null;
  import("/static/js/pack.js").then(
    (module) => {
      if (box.open) view = module.open(host, desk);
    },
    () => host.replaceChildren(trouble({ message: "This part did not load.", remedy: "Load the page again." })),
  );
  box.addEventListener("close", () => view?.close());
}
