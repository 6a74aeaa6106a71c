"""Write docs/pictures/bench.png: the bench with the demo job while a leg's foot is held, as the README shows it.

Needs what the browser tests need (Debian's chromium, the `test` extra).
"""

from __future__ import annotations

import io
import json
import sys
import tempfile
import urllib.request
import zipfile
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from windows import ARGS, Bench, start_bench  # noqa: E402

SIZE = {"width": 1280, "height": 800}
FOOT = '.grip[data-handle="leg A foot"]'


def brought_in(bench: Bench) -> str:
    """The demo job with its shop file, in the store; its id."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as out:
        for name in ("orchard-30.toml", "shop.toml"):
            out.write(ROOT / "examples" / name, name)
    request = urllib.request.Request(
        f"{bench.address}/api/jobs/import?name=job.zip",
        packed.getvalue(),
        {"Origin": bench.address, "Content-Type": "application/zip"},
    )
    with urllib.request.urlopen(request) as answer:
        return str(json.loads(answer.read())["job"]["id"])


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as store, sync_playwright() as playing:
        bench = start_bench(Path(store))
        browser = playing.chromium.launch(executable_path="/usr/bin/chromium", args=ARGS)
        page = browser.new_page(viewport=SIZE, color_scheme="light")
        page.goto(f"{bench.address}/job/{brought_in(bench)}")
        page.wait_for_selector("body[data-picture=solved]")
        page.click("#view-stack-end")
        page.wait_for_selector(FOOT)
        page.wait_for_timeout(2500)
        box = page.locator(FOOT).bounding_box()
        assert box is not None
        x, y = box["x"] + box["width"] / 2.0, box["y"] + box["height"] / 2.0
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 9.0, y, steps=6)
        page.wait_for_timeout(1200)
        page.screenshot(path=str(ROOT / "docs" / "pictures" / "bench.png"))
        page.mouse.up()
        browser.close()
        bench.stop()
