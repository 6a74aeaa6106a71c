"""A newcomer's first pit, from five facts to the pack: by mouse, then by keyboard alone."""

from __future__ import annotations

import io
import subprocess
import sys
import zipfile
from pathlib import Path

from playwright.sync_api import Page, expect

from windows import Bench, Person, make_pit

LEG_FOOT = '.grip[data-handle="leg A foot"]'
WAIT = 60000  # a pack and its plates take a while on two cores [ms]


def strip(page: Page, key: str) -> str:
    return page.locator(f"#strip-{key} .text").inner_text()


def command_says(page: Page, folder: Path, name: str) -> str:
    """What the command line prints for a figure of the very job the page shows."""
    job = page.url.rsplit("/", 1)[1]
    answer = page.request.get(f"{page.url.split('/job/')[0]}/api/jobs/{job}/file")
    assert answer.ok
    path = folder / "job.toml"
    path.write_bytes(answer.body())
    out = subprocess.run([sys.executable, "-m", "pitwright", "why", str(path), name], capture_output=True, text=True)
    assert out.returncode == 0, out.stderr
    return out.stdout.splitlines()[0].split(" = ", 1)[1].split("  [")[0]


def pull(page: Page, grip: str, dx: float, dy: float, steps: int = 12) -> None:
    box = page.locator(grip).bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2.0, box["y"] + box["height"] / 2.0
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + dx, y + dy, steps=steps)
    page.mouse.up()


def settled(page: Page) -> None:
    """The full picture is there: nothing is still being checked, and the lettered drawing has taken its place."""
    page.wait_for_timeout(250)
    expect(page.locator("#strip.held")).to_have_count(0)
    expect(page.locator("#panel-findings")).not_to_contain_text("hecking", timeout=WAIT)


def take_pack(page: Page, *pieces: str) -> zipfile.ZipFile:
    """Choose the pieces in the open pack view, make them, and take the zip."""
    for box in page.locator('input[name="piece"]').all():
        box.set_checked(box.get_attribute("value") in pieces)
    page.click("#pack-make")
    with page.expect_download(timeout=WAIT) as got:
        page.locator("#pack-zip").click(timeout=WAIT)
    return zipfile.ZipFile(io.BytesIO(Path(got.value.path()).read_bytes()))


def test_five_facts_a_drag_a_remedy_and_the_pack(person: Person, bench: Bench, tmp_path: Path) -> None:
    page = person.page
    address = make_pit(page, bench)
    settled(page)
    assert strip(page, "lean") == command_says(page, tmp_path, "legs.A.lean")

    page.click("#view-stack-end")
    page.wait_for_selector(LEG_FOOT)
    settled(page)
    before = strip(page, "lean")
    pull(page, LEG_FOOT, 25.0, 0.0)
    expect(page.locator("#strip-lean .text")).not_to_have_text(before)
    expect(page.locator("#undo")).not_to_have_attribute("aria-disabled", "true")
    settled(page)
    dragged = strip(page, "lean")
    assert dragged == command_says(page, tmp_path, "legs.A.lean"), "the page and the command line read one pit"
    assert strip(page, "top-cut") == command_says(page, tmp_path, "legs.A.top_cut")

    page.click("#undo")
    expect(page.locator("#strip-lean .text")).to_have_text(before)
    expect(page.locator("#redo")).not_to_have_attribute("aria-disabled", "true")
    page.click("#redo")
    expect(page.locator("#strip-lean .text")).to_have_text(dragged)
    settled(page)

    offered = page.locator("#panel-findings .finding:has(button[data-key^='try '])").first
    said = offered.locator(".said").inner_text()
    offered.locator("button[data-key^='try ']").click()
    expect(page.locator(".effect")).to_contain_text("Gone")
    page.locator(".effect button.main").click()
    expect(page.locator("#panel-findings .said", has_text=said)).to_have_count(0, timeout=WAIT)
    settled(page)
    mended = strip(page, "lean")

    page.click("#pack")
    with take_pack(page, "plan-set", "cut-list") as pack:
        names = pack.namelist()
        assert any(n.endswith("plan-set.pdf") for n in names)
        assert any(n.endswith("cut-list.csv") for n in names)

    page.goto(bench.address)
    page.locator("#jobs li").filter(has_text="Hill job").get_by_role("link", name="Hill job").first.click()
    page.wait_for_selector("#board svg.drawing")
    assert page.url == address
    expect(page.locator("#strip-lean .text")).to_have_text(mended)


def tab_to(page: Page, what: str, most: int = 150) -> None:
    """Press Tab until the thing has the focus."""
    for _ in range(most):
        if page.evaluate("what => document.activeElement.matches(what)", what):
            return
        page.keyboard.press("Tab")
    raise AssertionError(f"Tab does not reach {what}")


def test_the_same_by_keyboard_alone(person: Person, bench: Bench, tmp_path: Path) -> None:
    page, keys = person.page, person.page.keyboard
    page.goto(bench.address)
    tab_to(page, "#new-name")
    for text in ("Key job", "94 1/2", "1/4", "84", "36"):
        keys.type(text)
        keys.press("Tab")
    keys.press("Tab")
    keys.press("Enter")
    page.wait_for_url("**/job/*")
    page.wait_for_selector("#board svg.drawing")
    settled(page)

    tab_to(page, "#view-stack-end")
    keys.press("Enter")
    page.wait_for_selector(LEG_FOOT)
    before = strip(page, "lean")
    tab_to(page, LEG_FOOT)
    for _ in range(8):
        keys.press("ArrowRight")
    expect(page.locator("#strip-lean .text")).not_to_have_text(before)
    keys.press("Tab")
    settled(page)
    assert strip(page, "lean") == command_says(page, tmp_path, "legs.A.lean")

    tab_to(page, "#panel-findings button[data-key^='try ']")
    keys.press("Enter")
    expect(page.locator(".effect")).to_contain_text("Gone")
    expect(page.locator(".effect button").first).to_be_focused()
    keys.press("Enter")
    expect(page.locator(".effect")).to_have_count(0, timeout=WAIT)
    settled(page)

    page.reload()
    page.wait_for_selector("#board svg.drawing")
    tab_to(page, "#pack")
    keys.press("Enter")
    tab_to(page, "#pack-make")
    keys.press("Enter")
    page.wait_for_selector("#pack-zip", timeout=2 * WAIT)
    tab_to(page, "#pack-zip")
    with page.expect_download(timeout=WAIT) as got:
        keys.press("Enter")
    assert zipfile.is_zipfile(got.value.path())

    page.goto(bench.address)
    tab_to(page, "#jobs a[href^='/job/']")
    keys.press("Enter")
    page.wait_for_selector("#board svg.drawing")
    expect(page.locator("#job-name")).to_have_text("Key job")
