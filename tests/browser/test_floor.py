"""The shop floor's page in a real browser, as a phone and a tablet see it: read, pressed, typed, cut off, sent later."""

from __future__ import annotations

import json
import re
import shutil
import socket
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from axe_playwright_python.sync_playwright import Axe  # type: ignore[import-untyped]
from playwright.sync_api import Browser, BrowserContext, Page, Playwright, Route, expect

from pitwright.bench.app import make_app
from pitwright.bench.documents import from_toml
from pitwright.bench.floor_measures import typed_at
from pitwright.bench.store import Store
from windows import ARGS, PHONE, TABLET, Bench, start_bench

EXAMPLES = Path(__file__).parents[2] / "examples"
SHOP = {"shop.toml": (EXAMPLES / "shop.toml").read_bytes()}
FIGURE = 32.0  # px: 24 points
TARGET = 48.0  # px


def until(told: Callable[[], Any], wanted: Any) -> None:
    """Wait until the store says so: a page is a little ahead of it."""
    for _ in range(150):
        if (said := told()) == wanted:
            return
        time.sleep(0.1)
    raise AssertionError(f"{said!r} is not {wanted!r}")


class Floor:
    """A bench with one job, that can be switched off and on again at the same address."""

    def __init__(self, folder: Path):
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = str(free.getsockname()[1])
        self.folder = folder
        with Store.open(folder) as store:
            document = from_toml((EXAMPLES / "orchard-30.toml").read_bytes())
            self.job = store.create(document, SHOP, "begin", "desk").id
        self.bench: Bench | None = None
        self.on()

    def on(self) -> None:
        self.bench = start_bench(self.folder, "--port", self.port)

    def off(self) -> None:
        if self.bench is not None:
            self.bench.stop()
        self.bench = None

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/floor/{self.job}"

    def stands(self, field: str) -> tuple[str, ...] | None:
        with Store.open(self.folder) as store:
            return typed_at(store.get(self.job).document, field)

    def labels(self) -> list[str]:
        with Store.open(self.folder) as store:
            return [c.label for c in store.history(self.job)][1:]

    def ticked(self, step: str) -> bool:
        with Store.open(self.folder) as store:
            tick = store.ticks(self.job).get(step)
            return tick is not None and tick.done


@pytest.fixture
def floor(tmp_path: Path) -> Iterator[Floor]:
    running = Floor(tmp_path / "store")
    yield running
    running.off()


@pytest.fixture
def phone(chromium: Browser) -> Iterator[BrowserContext]:
    context = window(chromium, PHONE)
    yield context
    context.close()


def window(browser: Browser, size: tuple[int, int], **more: Any) -> BrowserContext:
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]}, has_touch=True, is_mobile=True, **more
    )
    context.set_default_timeout(15000)
    return context


def opened(context: BrowserContext, floor: Floor, step: str = "", part: str = "") -> Page:
    page = context.new_page()
    page.goto(floor.address + (f"#{step}" if step else ""))
    expect(page.locator("#step h1")).to_be_visible()
    at_part(page, part)
    return page


def at_part(page: Page, part: str) -> None:
    if part and page.locator(".chooser").is_visible():
        page.locator(".chooser button", has_text=part).tap()


def to_step(page: Page, key: str, part: str = "") -> None:
    page.evaluate("key => { location.hash = encodeURIComponent(key); }", key)
    page.wait_for_function("key => decodeURIComponent(location.hash.slice(1)) === key", arg=key)
    at_part(page, part)


def press(page: Page, *keys: str) -> None:
    for key in keys:
        page.locator("#keys button", has_text=re.compile(f"^{re.escape(key)}$")).tap()


def box(page: Page, label: str) -> Any:
    return page.get_by_label(f"got: {label}", exact=True)


# ---------------------------------------------------------------- read


def test_both_saw_settings_are_seen_on_a_phone_without_scrolling(phone: BrowserContext, floor: Floor) -> None:
    page = opened(phone, floor, "legs", "Saw")
    settings = page.locator(".saw:not(.other) .setting")
    expect(settings).to_have_count(2)
    foot = page.locator(".foot").bounding_box()
    assert foot is not None
    for i in range(2):
        place = settings.nth(i).bounding_box()
        assert place is not None
        assert place["y"] >= 0
        assert place["y"] + place["height"] <= foot["y"]
        assert place["x"] + place["width"] <= PHONE[0]
    assert page.evaluate("scrollY") == 0
    with Store.open(floor.folder) as store:
        document = store.get(floor.job).document
    assert settings.nth(0).inner_text().split() == ["foot", "4.1°"]
    assert document["order"]["base"] == "skid"


@pytest.mark.parametrize("size", [PHONE, TABLET], ids=["phone", "tablet"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_step_is_large_enough_fits_and_has_no_serious_fault(
    chromium: Browser, floor: Floor, size: tuple[int, int], scheme: Any
) -> None:
    context = window(chromium, size, color_scheme=scheme)
    page = opened(context, floor)
    keys = page.evaluate(
        "fetch(location.pathname.replace('/floor/', '/api/floor/')).then(r => r.json()).then(r => r.steps.map(s => s.key))"
    )
    assert len(keys) > 20
    for key in keys:
        to_step(page, key)
        parts = page.locator(".chooser button").all_inner_texts() if size == PHONE else [""]
        for part in parts or [""]:
            at_part(page, part)
            assert page.evaluate("document.documentElement.scrollWidth") <= size[0], (key, part)
            small = page.evaluate(SMALL, TARGET)
            assert not small, (key, part, small)
            faint = page.evaluate(FAINT, FIGURE)
            assert not faint, (key, part, faint)
        if key in ("marks", "legs", "set", "door 1"):
            for part in parts or [""]:
                at_part(page, part)
                faults = [v for v in Axe().run(page).response["violations"] if v["impact"] in ("serious", "critical")]
                assert not faults, (key, part, json.dumps(faults)[:2000])
    context.close()


SMALL = """least => [...document.querySelectorAll("button, a.button, summary, input[type=text], label:has(input)")]
  .filter(n => n.offsetParent && n.checkVisibility() && !n.closest("dialog:not([open])") && !n.classList.contains("skip"))
  .filter(n => !(n.matches("label") && n.querySelector("input[type=text]")))
  .map(n => [n.textContent.trim() || n.id, n.getBoundingClientRect()])
  .filter(([, b]) => b.width < least - 0.5 || b.height < least - 0.5)
  .map(([t, b]) => `${t} ${b.width}x${b.height}`)"""
FAINT = """least => [...document.querySelectorAll(".figure, .want, .setting b, .lengths dd, .box input")]
  .filter(n => n.checkVisibility() && parseFloat(getComputedStyle(n).fontSize) < least)
  .map(n => n.textContent)"""


def test_the_steps_are_walked_by_keyboard_alone(chromium: Browser, floor: Floor) -> None:
    context = chromium.new_context(viewport={"width": 1280, "height": 900})
    page = opened(context, floor, "lines")
    page.keyboard.press("ArrowRight")
    expect(page.locator("#step h1")).to_contain_text("Lay out everything")
    page.locator("#done").focus()
    page.keyboard.press("Space")
    until(lambda: floor.ticked("marks"), True)
    to_step(page, "set")
    box(page, "vessel centre off the floor").focus()
    expect(page.locator("#keys")).to_be_hidden()  # a keyboard is left alone
    page.keyboard.type("38 1/8")
    page.keyboard.press("Enter")
    expect(page.locator(".news")).to_contain_text("Solved again")
    assert floor.stands("height") == ("38 1/8",)
    context.close()


def test_a_step_prints_with_all_its_parts(phone: BrowserContext, floor: Floor) -> None:
    page = opened(phone, floor, "legs")
    page.emulate_media(media="print")
    for part in ("do", "marks", "saw", "got"):
        assert page.locator(f".part-{part}").is_visible()
    assert not page.locator(".foot").is_visible()
    assert len(page.pdf()) > 10_000


# ---------------------------------------------------------------- typed


def test_what_is_typed_with_gloves_re_solves_and_says_what_became_of_the_piece(
    phone: BrowserContext, floor: Floor
) -> None:
    page = opened(phone, floor, "legs", "Got")
    page.locator(".piece-state", has_text="L1").get_by_label("cut").check(force=True)
    until(floor.labels, ["L1 cut"])
    box(page, "set A, working side: lean off plumb, as it stands").tap()
    press(page, "6", ".", "5", "Done")
    expect(page.locator(".news .verdict").first).to_contain_text("L1")
    assert re.search("FITS|TRIM|RECUT", page.locator(".news .verdict").first.inner_text())
    until(lambda: floor.stands("legs.A.working.lean"), ("6.5",))
    assert floor.labels() == ["L1 cut", "measured legs A working lean: 6.5"]


def test_fraction_keys_write_a_tape_reading(phone: BrowserContext, floor: Floor) -> None:
    page = opened(phone, floor, "set", "Got")
    box(page, "vessel centre off the floor").tap()
    press(page, "3", "8", "1/4", "3/16", "Done")  # the second fraction takes the first one's place
    until(lambda: floor.stands("height"), ("38 3/16",))
    expect(page.locator("#sent")).to_have_text("All sent.")


def test_a_slip_is_refused_beside_its_box_and_can_be_put_right(phone: BrowserContext, floor: Floor) -> None:
    page = opened(phone, floor, "lines", "Got")
    around = box(page, "tape right round, cleaned")
    around.tap()
    press(page, "9", "1/4", "Done")
    told = page.locator(".box", has_text="tape right round").locator(".told")
    expect(told).to_contain_text("Not taken")
    expect(told).to_contain_text("Allowed")
    expect(around).to_have_value("9 1/4")
    assert floor.stands("around") is None
    page.reload()
    expect(page.locator("#step h1")).to_be_visible()
    at_part(page, "Got")
    expect(page.locator(".box", has_text="tape right round").locator(".told")).to_contain_text("Not taken")
    box(page, "tape right round, cleaned").tap()
    press(page, "Clear", "9", "4", "1/8", "Done")
    expect(page.locator(".box", has_text="tape right round").locator(".told")).to_have_text("✓ at the bench")
    assert floor.stands("around") == ("94 1/8",)


def test_figures_that_belong_together_go_together(phone: BrowserContext, floor: Floor) -> None:
    page = opened(phone, floor, "base", "Got")
    one, other = page.locator(".box", has_text="outside corner").locator("input").all()
    one.tap()
    press(page, "1", "2", "8", "1/2", "Done")
    expect(page.locator(".box", has_text="outside corner").locator(".told")).to_contain_text("all 2")
    assert floor.stands("diagonals") is None
    other.tap()
    press(page, "1", "2", "8", "5/8", "Done")
    until(lambda: floor.stands("diagonals"), ("128 1/2", "128 5/8"))


# ---------------------------------------------------------------- cut off


def test_typed_without_a_connection_kept_over_a_reload_and_sent_once_in_order(
    phone: BrowserContext, floor: Floor
) -> None:
    page = opened(phone, floor, "set", "Got")
    page.evaluate(
        "navigator.serviceWorker.ready.then(() => caches.open('pitwright-floor-page-1')).then(async k => { while (!(await k.match(location.pathname))) await new Promise(r => setTimeout(r, 50)); })"
    )
    floor.off()
    height = "vessel centre off the floor"
    box(page, height).tap()
    press(page, "3", "8", "1/8", "Done")
    expect(page.locator("#sent")).to_contain_text("Not sent yet: 1")
    page.locator("#done-box").tap()
    box(page, height).tap()
    press(page, "⌫", "3/16", "Done")  # put right before it was sent
    expect(page.locator("#sent")).to_contain_text("Not sent yet: 3")
    page.reload()  # no bench: the page comes back from the phone
    expect(page.locator("#step h1")).to_contain_text("Set the vessel on the base")
    expect(page.locator("#sent")).to_contain_text("Not sent yet: 3")
    at_part(page, "Got")
    expect(box(page, height)).to_have_value("38 3/16")
    assert page.locator("#done").is_checked()
    assert floor.labels() == []
    floor.on()
    page.locator("#send-now").tap()
    expect(page.locator("#sent")).to_have_text("All sent.", timeout=20_000)
    assert floor.labels() == ["measured height: 38 1/8", "measured height: 38 3/16"]
    assert floor.ticked("set")


def test_an_answer_lost_on_the_way_does_not_do_it_twice(phone: BrowserContext, floor: Floor) -> None:
    page = opened(phone, floor, "set", "Got")
    lost = []

    def lose(route: Route) -> None:
        lost.append(route.fetch().status)  # the bench has it, the phone never hears so
        route.abort()

    page.route("**/api/floor/*/send", lose, times=2)
    box(page, "vessel centre off the floor").tap()
    press(page, "3", "8", "1/8", "Done")
    page.locator(".chooser button", has_text="Do").tap()
    while len(lost) < 2:
        page.wait_for_timeout(100)
    expect(page.locator("#sent")).to_have_text("All sent.", timeout=20_000)
    assert lost == [200, 200]
    assert floor.labels() == ["measured height: 38 1/8"]


def test_half_typed_figures_outlive_the_page(phone: BrowserContext, floor: Floor) -> None:
    page = opened(phone, floor, "set", "Got")
    box(page, "vessel centre off the floor").tap()
    press(page, "3", "8")
    page.wait_for_timeout(300)
    page.close()  # as if the phone died here
    again = opened(phone, floor, "set", "Got")
    expect(box(again, "vessel centre off the floor")).to_have_value("38")
    box(again, "vessel centre off the floor").tap()
    press(again, "1/8", "Done")
    until(lambda: floor.stands("height"), ("38 1/8",))


def test_two_phones_never_overwrite_each_other_silently(chromium: Browser, phone: BrowserContext, floor: Floor) -> None:
    one = opened(phone, floor, "set", "Got")
    other_phone = window(chromium, PHONE)
    other = opened(other_phone, floor, "set", "Got")
    height = "vessel centre off the floor"
    other_phone.set_offline(True)
    box(other, height).tap()
    press(other, "3", "8", "1/4", "Done")
    expect(other.locator("#sent")).to_contain_text("Not sent yet: 1")
    box(one, height).tap()
    press(one, "3", "8", "1/8", "Done")
    until(lambda: floor.stands("height"), ("38 1/8",))
    other_phone.set_offline(False)
    choice = other.locator(".choice")
    expect(choice).to_contain_text(re.compile("The bench has 38.1/8, you typed 38.1/4"), timeout=20_000)
    assert floor.stands("height") == ("38 1/8",)
    expect(other.locator("#sent")).to_contain_text("not taken: 1")
    to_step(other, "base")  # told on every other step too, with the way back
    other.locator("#notes .jump").tap()
    choice.get_by_text("Send mine").tap()
    expect(other.locator(".box .told")).to_have_text("✓ at the bench")
    assert floor.stands("height") == ("38 1/4",)
    expect(box(one, height)).to_have_value("38 1/4", timeout=20_000)  # the first phone sees it by itself
    other_phone.close()


def test_the_desk_sees_what_the_floor_did(phone: BrowserContext, chromium: Browser, floor: Floor) -> None:
    desk = chromium.new_context().new_page()
    desk.goto(floor.address.replace("/floor/", "/job/"))
    desk.wait_for_selector("#board svg")
    before = desk.locator("#strip").inner_text()
    page = opened(phone, floor, "set", "Got")
    box(page, "vessel centre off the floor").tap()
    press(page, "3", "9", "Done")
    expect(desk.locator("#strip")).not_to_have_text(before)
    desk.context.close()


def test_a_vessel_nobody_cleared_shows_the_hold_and_no_cut_marks(phone: BrowserContext, floor: Floor) -> None:
    with Store.open(floor.folder) as store:
        head = store.get(floor.job).head
        store.edit(floor.job, [{"path": ["make_safe"], "value": None}], base=head, rid="x", label="x", who="desk")
    page = opened(phone, floor, "door 1")
    expect(page.locator(".note.stop")).to_contain_text("Do not heat, cut or grind")
    expect(page.locator("#done")).to_be_disabled()
    at_part(page, "Marks")
    expect(page.locator(".part-marks")).to_contain_text("held back")
    assert not re.search(r"\d", page.locator(".part-marks .figure").first.inner_text())


def test_a_box_typed_again_and_again_is_no_quarrel_with_oneself(phone: BrowserContext, floor: Floor) -> None:
    page = opened(phone, floor, "set", "Got")
    height = "vessel centre off the floor"
    for last in ("1/16", "1/8", "3/16", "1/4"):
        box(page, height).tap()
        press(page, "Clear", "3", "8", last, "Done")
    until(lambda: floor.stands("height"), ("38 1/4",))
    expect(page.locator(".choice")).to_have_count(0)
    assert [line.split(": ")[1] for line in floor.labels()] == ["38 1/16", "38 1/8", "38 3/16", "38 1/4"]


def test_where_the_way_is_not_encrypted_the_open_page_keeps_working(player: Playwright, tmp_path: Path) -> None:
    """On the shop's network the page is plain http: no helper that brings it back, the outbox all the same."""
    store = Store.open(tmp_path)
    job = store.create(from_toml((EXAMPLES / "orchard-30.toml").read_bytes()), SHOP, "begin", "desk").id
    listening = socket.socket()
    listening.bind(("127.0.0.1", 0))
    port = listening.getsockname()[1]
    server = uvicorn.Server(uvicorn.Config(make_app(store, hosts=[f"shop.test:{port}"]), log_level="warning"))
    running = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    running.start()
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    browser = player.chromium.launch(
        executable_path=found, args=[*ARGS, "--host-resolver-rules=MAP shop.test 127.0.0.1"]
    )
    context = window(browser, PHONE)
    page = context.new_page()
    page.goto(f"http://shop.test:{port}/floor/{job}#set")
    expect(page.locator("#step h1")).to_be_visible()
    assert not page.evaluate("isSecureContext")
    at_part(page, "Got")
    context.set_offline(True)
    box(page, "vessel centre off the floor").tap()
    press(page, "3", "8", "1/8", "Done")
    expect(page.locator("#sent")).to_contain_text("Not sent yet: 1")
    page.locator("#list-open").tap()
    expect(page.locator(".list-foot")).to_contain_text("leave this page open")
    page.locator("#list-close").tap()
    context.set_offline(False)
    expect(page.locator("#sent")).to_have_text("All sent.", timeout=20_000)
    with Store.open(tmp_path) as again:
        assert typed_at(again.get(job).document, "height") == ("38 1/8",)
    browser.close()
    server.should_exit = True
    running.join(10)
