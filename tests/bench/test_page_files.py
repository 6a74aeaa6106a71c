"""The files of the page: they hang together, ask for nothing outside, run nothing inline, and can be read in both schemes.

Contrast is worked out here as WCAG 2.2 defines it (relative luminance and contrast ratio, success criteria 1.4.3 and
1.4.11), from the colours in `base.css`.
"""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest

from pitwright.bench.pages import STATIC, static_file
from pitwright.sheets.ink import STYLES
from pitwright.sheets.shapes import ROLES

PAGES = ("index.html", "job.html")
SCHEMES = ("light", "dark")
TEXT, LARGE_OR_EDGE = 4.5, 3.0  # WCAG 2.2: 1.4.3 for text, 1.4.11 for edges of controls
# Words that programmers use and a shop does not.
KEPT_OFF = ("parameter", "constraint", "node", "boolean", "default", "null", "config", "render", "export", "payload")


class _Page(HTMLParser):
    """Collects what a page links to, its inline parts and its words."""

    def __init__(self, text: str):
        super().__init__()
        self.links: list[str] = []
        self.inline: list[str] = []
        self.words: list[str] = []
        self.ids: list[str] = []
        self._in = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        self._in = tag
        if given.get("id"):
            self.ids.append(str(given["id"]))
        for name in ("href", "src"):
            if given.get(name):
                self.links.append(str(given[name]))
        self.inline += [f"{tag} {name}" for name in given if name == "style" or name.startswith("on")]
        self.words += [str(given[name]) for name in ("aria-label", "title", "placeholder", "alt") if given.get(name)]

    def handle_data(self, data: str) -> None:
        if self._in in ("script", "style") and data.strip():
            self.inline.append(f"{self._in}: {data.strip()[:40]}")
        elif data.strip():
            self.words.append(data.strip())

    def handle_endtag(self, tag: str) -> None:
        self._in = ""


def _page(name: str) -> _Page:
    return _Page((STATIC / name).read_text())


def _own(*endings: str) -> list[str]:
    """Our own files: all but the bundled library."""
    return sorted(
        str(p.relative_to(STATIC)) for p in STATIC.rglob("*") if p.suffix in endings and not p.name.startswith("three")
    )


@pytest.mark.parametrize("name", PAGES)
def test_a_page_runs_nothing_inline(name: str) -> None:
    assert _page(name).inline == []


@pytest.mark.parametrize("name", PAGES)
def test_all_a_page_links_to_is_ours_and_there(name: str) -> None:
    links = [link for link in _page(name).links if not link.startswith("#") and link != "/"]
    assert len(links) > 3
    for link in links:
        assert link.startswith("/static/")
        assert static_file(link.removeprefix("/static/")).is_file()


@pytest.mark.parametrize("name", PAGES)
def test_every_id_stands_once(name: str) -> None:
    ids = _page(name).ids
    assert len(ids) == len(set(ids))


@pytest.mark.parametrize("name", PAGES)
def test_pages_speak_the_shops_words(name: str) -> None:
    said = " ".join(_page(name).words).lower()
    assert [word for word in KEPT_OFF if re.search(rf"\b{word}\b", said)] == []


@pytest.mark.parametrize("name", _own(".js"))
def test_modules_import_modules_that_are_there(name: str) -> None:
    text = (STATIC / name).read_text()
    found = re.findall(r'^(?:import|export)[^"\n]*"([^"\n]+)";|\bimport\("([^"\n]+)"\)', text, re.MULTILINE)
    for path in (top or inside for top, inside in found):
        assert path.startswith("/static/"), path
        assert static_file(path.removeprefix("/static/")).is_file()


@pytest.mark.parametrize("name", _own(".js", ".css", ".html"))
def test_nothing_is_fetched_from_outside(name: str) -> None:
    text = (STATIC / name).read_text().replace("http://www.w3.org/", "")
    outside = [
        u for u in re.findall(r"(?:https?:)?//[A-Za-z0-9][^\s\"'`)]*", text) if re.match(r"(https?:)?//\w+\.\w", u)
    ]
    assert outside == []
    assert "eval(" not in text
    assert "new Function" not in text


def _colours(scheme: str) -> dict[str, tuple[float, float, float]]:
    css = (STATIC / "css/base.css").read_text()
    start = css.index(":root {") if scheme == "light" else css.index(':root[data-scheme="dark"] {')
    block = css[start : css.index("}", start)]
    out = {}
    for name, value in re.findall(r"--([\w-]+):\s*#([0-9a-f]{6});", block):
        out[name] = tuple(int(value[i : i + 2], 16) / 255.0 for i in (0, 2, 4))
    return out  # type: ignore[return-value]


def _luminance(colour: tuple[float, float, float]) -> float:
    """WCAG 2.2, "relative luminance", of sRGB shares 0 to 1."""
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def _contrast(one: tuple[float, float, float], other: tuple[float, float, float]) -> float:
    """WCAG 2.2, "contrast ratio"."""
    high, low = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_worked_out_as_wcag_does() -> None:
    # Black on white is 21 : 1 by the definition; #767676 on white is the lightest grey that passes 4.5 : 1 (well known,
    # from memory).
    assert _contrast((0.0, 0.0, 0.0), (1.0, 1.0, 1.0)) == pytest.approx(21.0)
    grey, lighter = (0x76 / 255.0,) * 3, (0x77 / 255.0,) * 3
    assert _contrast(grey, (1.0, 1.0, 1.0)) >= 4.5 > _contrast(lighter, (1.0, 1.0, 1.0))


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("ground", ["paper", "ground", "accent-ground", "wrong-ground", "warn-ground", "good-ground"])
def test_words_can_be_read_on_every_ground(scheme: str, ground: str) -> None:
    c = _colours(scheme)
    for ink in ("ink", "quiet", "accent", "wrong", "warn", "good"):
        if ground in ("paper", "ground") or ink in ("ink", ground.removesuffix("-ground")):
            assert _contrast(c[ink], c[ground]) >= TEXT, f"{ink} on {ground}"


@pytest.mark.parametrize("scheme", SCHEMES)
def test_edges_of_controls_and_filled_buttons_can_be_seen(scheme: str) -> None:
    c = _colours(scheme)
    for ground in ("paper", "ground"):
        assert _contrast(c["edge"], c[ground]) >= LARGE_OR_EDGE
        assert _contrast(c["accent"], c[ground]) >= LARGE_OR_EDGE  # the focus ring
    assert _contrast(c["on-accent"], c["accent"]) >= TEXT


def test_the_device_and_the_switch_give_the_same_dark() -> None:
    css = (STATIC / "css/base.css").read_text()
    by_device = css[css.index(':root:not([data-scheme="light"]) {') :]
    by_device = by_device[: by_device.index("}")]
    by_switch = css[css.index(':root[data-scheme="dark"] {') :]
    by_switch = by_switch[: by_switch.index("}")]
    find = re.compile(r"(--[\w-]+):\s*([^;]+);")
    assert dict(find.findall(by_device)) == dict(find.findall(by_switch))


def test_every_role_of_line_has_its_look_on_the_screen() -> None:
    css = (STATIC / "css/drawing.css").read_text()
    for role in ROLES:
        if STYLES[role].weight:
            assert re.search(rf"\.drawing g\.{role}\b", css), role
        if STYLES[role].dash:
            block = css[re.search(rf"\.drawing g\.{role}\b", css).start() :]  # type: ignore[union-attr]
            assert "stroke-dasharray" in block[: block.index("}")], role
