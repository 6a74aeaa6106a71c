"""The file for the customer: whole in itself, silent on money, safe whatever the names say, and alive in a browser."""

from __future__ import annotations

import base64
import dataclasses
import hashlib
import json
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from pitwright.bench.export_html import customer_page
from pitwright.bench.solid_view import solid
from pitwright.job.file import load_job
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.shop.price import price

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
NASTY = '</script><script>window.owned=1</script><img src=x onerror="window.owned=2">'
CHROMIUM = Path("/usr/bin/chromium")


def named(pit: Pit, name: str, customer: str) -> Pit:
    about = pit.job.job.model_copy(update={"name": name, "customer": customer})
    return dataclasses.replace(pit, job=pit.job.model_copy(update={"job": about}))


@pytest.fixture(scope="module")
def pit() -> Pit:
    return solve(load_job(EXAMPLES / "orchard-30.toml"))


@pytest.fixture(scope="module")
def page(pit: Pit) -> str:
    return customer_page(pit)


class Reader(HTMLParser):
    """What a browser would fetch, run and show."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.scripts: list[tuple[str, str]] = []
        self.words: list[str] = []
        self._in: str = ""
        self._kind = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag in ("script", "style"):
            self._in, self._kind = tag, dict(attrs).get("type") or ""

    def handle_endtag(self, tag: str) -> None:
        if tag == self._in:
            self._in = ""

    def handle_data(self, data: str) -> None:
        if self._in == "script":
            self.scripts.append((self._kind, data))
        elif not self._in and data.strip():
            self.words.append(data.strip())


def read(text: str) -> Reader:
    reader = Reader()
    reader.feed(text)
    return reader


def test_nothing_in_it_points_outside(page: str) -> None:
    reader = read(page)
    for tag, attrs in reader.tags:
        for name, value in attrs.items():
            assert name not in ("src", "href", "srcset", "action", "data", "poster"), f"<{tag} {name}={value}>"
            assert not name.startswith("on"), f"<{tag} {name}>"
    assert "/static/" not in page, "a script or style still asks the server"
    plain = page.split('type="importmap">')[0] + "".join(reader.words)
    assert set(re.findall(r"https?://[^\s\"'<)]+", plain)) <= {"http://www.w3.org/2000/svg"}
    assert "three.js authors" in page, "the licence of what it carries"


def test_scripts_are_allowed_by_their_fingerprints_only(page: str) -> None:
    reader = read(page)
    policy = next(a["content"] for t, a in reader.tags if t == "meta" and a.get("http-equiv")) or ""
    allowed = set(re.findall(r"'sha256-([^']+)'", policy))
    run = [text for kind, text in reader.scripts if kind in ("module", "importmap")]
    assert {base64.b64encode(hashlib.sha256(t.encode()).digest()).decode() for t in run} == allowed
    assert len(run) == 2
    assert policy.startswith("default-src 'none';")
    assert "connect-src" not in policy
    assert "unsafe-inline" not in policy.split("script-src")[1].split(";")[0]


def test_every_import_is_answered_inside(page: str) -> None:
    from urllib.parse import unquote

    reader = read(page)
    modules = json.loads(next(t for kind, t in reader.scripts if kind == "importmap"))["imports"]
    for name, address in modules.items():
        assert address.startswith("data:text/javascript"), name
        text = unquote(address.split(",", 1)[1])
        for asked in re.findall(r'^import [^"]*from "([^"]+)"', text, re.M):
            assert asked in modules, f"{name} asks for {asked}"


def test_its_pieces_are_the_pits(pit: Pit, page: str) -> None:
    pieces = json.loads(next(t for kind, t in read(page).scripts if kind == "application/json"))
    assert pieces == json.loads(json.dumps(solid(pit)))


def test_the_figures_a_customer_asks_for_are_in_words(pit: Pit, page: str) -> None:
    words = " ".join(read(page).words)
    tape = pit.tape
    for wanted in (
        pit.job.job.name,
        pit.job.job.customer,
        tape.mass(pit.balance["empty"].mass),
        tape.length(pit.job.order.grate_height),
        tape.figure(pit.reasons["overall.length"].value, "length"),
        "Carbon monoxide",
        "ask the fire marshal",
        "give or take 40 percent until one burn",
    ):
        assert wanted in words, wanted


def test_no_money_hours_or_saw_settings_of_the_shop(pit: Pit, page: str) -> None:
    words = " ".join(read(page).words)
    quote = price(pit)
    assert pit.job.proportions.rates.currency not in words
    for told in (quote.price, quote.low, quote.high, quote.material, quote.margin):
        assert f"{told:,.0f}" not in words
    for word in ("margin", "per hour", "rate", "off square", "long point", "deposit"):
        assert not re.search(rf"\b{word}\b", words, re.I), word
    pieces = next(t for kind, t in read(page).scripts if kind == "application/json")
    assert set(json.loads(pieces)["pieces"][0]) == {
        "mark", "name", "group", "stock", "material", "mass", "weight", "assumed", "moves", "shape", "copies",
    }  # fmt: skip


def test_a_vessel_that_is_not_cleared_is_said_so(pit: Pit) -> None:
    open_one = dataclasses.replace(pit, cleared=False)
    assert "not yet signed off as made safe" in customer_page(open_one)
    assert "not yet signed off as made safe" not in customer_page(pit)


def test_nasty_names_stay_names(pit: Pit) -> None:
    text = customer_page(named(pit, NASTY, NASTY))
    reader = read(text)
    assert sum(1 for tag, _ in reader.tags if tag == "script") == 3
    assert not any(tag == "img" for tag, _ in reader.tags)
    assert any(NASTY in words for words in reader.words)


def test_it_is_small_enough_to_mail(page: str) -> None:
    assert len(page.encode()) < 2_000_000


# ---------------------------------------------------------------- in a browser


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    pytest.importorskip("playwright")
    from playwright.sync_api import sync_playwright

    if not CHROMIUM.exists():
        pytest.skip("no Chromium here")
    with sync_playwright() as play:
        made = play.chromium.launch(
            executable_path=str(CHROMIUM),
            args=["--no-sandbox", "--disable-gpu", "--use-angle=swiftshader", "--enable-unsafe-swiftshader",
                  "--disable-background-networking", "--disable-component-update"],
        )  # fmt: skip
        yield made
        made.close()


def opened(browser: Any, file: Path, **how: Any) -> tuple[Any, list[str], list[str]]:
    """A page showing the file with the network cut, what it asked for, and what it complained of."""
    context = browser.new_context(offline=True, viewport={"width": 1280, "height": 900}, **how)
    shown = context.new_page()
    asked: list[str] = []
    troubles: list[str] = []
    shown.on("request", lambda r: asked.append(r.url))
    shown.on("pageerror", lambda e: troubles.append(str(e)))
    shown.on("console", lambda m: troubles.append(m.text) if m.type == "error" else None)
    shown.goto(file.as_uri())
    return shown, asked, troubles


def test_it_lives_in_a_browser_without_a_network(pit: Pit, browser: Any, tmp_path: Path) -> None:
    file = tmp_path / "pit.html"
    file.write_text(customer_page(named(pit, NASTY, NASTY)), encoding="utf-8")
    page, asked, troubles = opened(browser, file)
    page.wait_for_selector("canvas[data-ready='true']")
    page.wait_for_selector("canvas[data-triangles]")
    assert troubles == []
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []
    assert page.evaluate("window.owned") is None
    assert page.title().startswith(NASTY)
    shown = int(page.locator("canvas").get_attribute("data-triangles"))
    assert shown == solid(pit)["triangles"], "not every piece is drawn"
    heaviest = max(pit.parts, key=lambda p: 0.0 if p.name != "shell" else 1.0)
    page.get_by_role("checkbox", name=f"{heaviest.mark} ").first.check()
    told = next(p["weight"] for p in solid(pit)["pieces"] if p["mark"] == heaviest.mark)
    assert told in page.locator(".solid-weight").inner_text()
    page.get_by_role("checkbox", name="Cut along the middle").check()
    page.locator("canvas").focus()
    for key in ("1", "ArrowLeft", "+", "0", "6"):
        page.keyboard.press(key)
    assert troubles == []
    page.context.close()


def test_without_webgl_it_says_so_and_still_weighs(pit: Pit, browser: Any, tmp_path: Path) -> None:
    file = tmp_path / "pit.html"
    file.write_text(customer_page(pit), encoding="utf-8")
    context = browser.new_context(offline=True)
    context.add_init_script("HTMLCanvasElement.prototype.getContext = () => null")
    page = context.new_page()
    page.goto(file.as_uri())
    page.wait_for_selector("canvas[data-ready='true']", state="attached")
    assert "no WebGL" in page.locator(".solid-message").inner_text()
    piece = max(solid(pit)["pieces"], key=lambda p: p["mass"])
    page.get_by_role("checkbox", name=f"{piece['mark']} ").first.check()
    assert page.locator(".solid-weight").inner_text() == piece["weight"]
    context.close()


def test_what_is_picked_weighs_the_sum(pit: Pit, browser: Any, tmp_path: Path) -> None:
    file = tmp_path / "pit.html"
    file.write_text(customer_page(pit), encoding="utf-8")
    page, _, troubles = opened(browser, file)
    page.wait_for_selector("canvas[data-ready='true']")
    pieces = solid(pit)["pieces"][::4]
    for piece in pieces:
        page.locator(f"input[data-mark='{piece['mark']}']").check()
    whole = sum(p["mass"] * len(p["copies"]) for p in pieces)
    assert page.locator(".solid-weight").inner_text() == pit.tape.mass(whole)
    for piece in pieces[1:]:
        page.locator(f"input[data-mark='{piece['mark']}']").uncheck()
    count = len(pieces[0]["copies"])
    assert page.locator(".solid-weight").inner_text() == pit.tape.mass(pieces[0]["mass"] * count)
    assert troubles == []
    page.context.close()
