// Light or dark before the first paint: what was picked on this device wins over what the device prefers.
// A plain script, not a module, so that it runs before the page is drawn.
(() => {
  let kept = null;
  try {
    kept = localStorage.getItem("pitwright.scheme");
  } catch {
    kept = null;
  }
  if (kept === "light" || kept === "dark") document.documentElement.dataset.scheme = kept;
})();
