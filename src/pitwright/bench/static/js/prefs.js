// What this device keeps for itself: light or dark.

import { say } from "/static/js/dom.js";

const WORDS = { device: "as the device", light: "light", dark: "dark" };

/** Makes a button go through: as the device, light, dark. */
export function schemeSwitch(button) {
  const now = () => document.documentElement.dataset.scheme ?? "device";
  const dress = () => {
    button.textContent = { device: "◐ Auto", light: "○ Light", dark: "● Dark" }[now()];
    button.setAttribute("aria-label", `Light or dark: ${WORDS[now()]}. Press to change`);
  };
  button.addEventListener("click", () => {
    const next = { device: "light", light: "dark", dark: "device" }[now()];
    if (next === "device") delete document.documentElement.dataset.scheme;
    else document.documentElement.dataset.scheme = next;
    try {
      if (next === "device") localStorage.removeItem("pitwright.scheme");
      else localStorage.setItem("pitwright.scheme", next);
    } catch {
      // without storage the choice lasts as long as the page
    }
    dress();
    say(`Colours: ${WORDS[next]}`);
  });
  dress();
}
