"""SVG: true curves, plain structure, tags for the screen."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from types import ModuleType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.parts import arc_of
from pitwright.sheets.ink import Path, Scale, Words
from pitwright.sheets.shapes import ROLES
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.svg import SCREEN_STYLE, number, path_data, screen, svg

SVG = "{http://www.w3.org/2000/svg}"


@given(value=st.floats(-5000.0, 5000.0))
def test_numbers_are_short_and_near(value: float) -> None:
    text = number(value)
    assert abs(float(text) - value) <= 0.0005 + 1e-9
    assert not re.search(r"\.\d*0$|\.$|^-0$", text)


@given(bulge=st.floats(-4.0, 4.0).filter(lambda b: abs(b) > 0.02), size=st.floats(5.0, 600.0))
def test_print_curves_stay_on_their_circle(bulge: float, size: float) -> None:
    """Points of each cubic, by its own definition, against the circle of the arc."""
    path = Path(((10.0, 20.0), (10.0 + size, 20.0 + 0.3 * size)), (bulge,))
    centre, radius, _, _ = arc_of(*path.points, bulge)
    here = path.points[0]
    for piece in re.findall(r"C([^CZ]*)", path_data(path, arcs=False)):
        n = [float(x) for x in piece.split()]
        a, b, end = (n[0], n[1]), (n[2], n[3]), (n[4], n[5])
        for k in range(11):
            t = k / 10.0
            w = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
            p = tuple(w[0] * here[i] + w[1] * a[i] + w[2] * b[i] + w[3] * end[i] for i in (0, 1))
            assert math.dist(p, centre) == pytest.approx(radius, abs=0.002 + 1e-6 * radius)
        here = end
    assert math.dist(here, path.points[1]) < 0.001


@given(bulge=st.floats(-4.0, 4.0).filter(lambda b: abs(b) > 0.02))
def test_screen_arcs_turn_the_right_way(bulge: float) -> None:
    """SVG 2, implementation notes B.2.4: the centre from the end points, the radius and the two flags."""
    path = Path(((0.0, 0.0), (30.0, 10.0)), (bulge,))
    match = re.search(r"A(\S+) \S+ 0 (\d) (\d) (\S+) (\S+)", path_data(path))
    assert match
    r, large, sweep, x, y = (float(g) for g in match.groups())
    half = ((0.0 - x) / 2.0, (0.0 - y) / 2.0)
    d2 = half[0] ** 2 + half[1] ** 2
    root = math.sqrt(max(0.0, (r * r - d2) / d2)) * (-1.0 if large == sweep else 1.0)
    centre = (root * half[1] + x / 2.0, -root * half[0] + y / 2.0)
    assert centre == pytest.approx(arc_of((0.0, 0.0), (30.0, 10.0), bulge)[0], abs=0.2)


def test_print_is_true_size_and_well_formed(sample: ModuleType) -> None:
    from pitwright.sheets.laying import lay

    root = ET.fromstring(svg(lay(sample.side_view(), 1 / 12, (60.0, 120.0)), 200.0, 180.0))
    assert root.get("width") == "200mm"
    assert root.get("viewBox") == "0 0 200 180"
    texts = [t.text for t in root.iter(f"{SVG}text")]
    assert '21-15/16"' in texts
    assert root.get("font-family") == "Pitwright Sans"


def test_words_are_escaped() -> None:
    root = ET.fromstring(svg((Words((1.0, 2.0), '<3/8" & more', 2.5),), 50.0, 20.0))
    (text,) = root.iter(f"{SVG}text")
    assert text.text == '<3/8" & more'


def test_screen_drawing_says_what_it_is_about_and_where(sample: ModuleType) -> None:
    root = ET.fromstring(screen(sample.side_view(), 1 / 12))
    marked = [e for e in root.iter() if e.get("data-about") == "drum.length"]
    assert len(marked) == 4
    assert marked[0].find(f"{SVG}title").text == "Length over flanges"  # type: ignore[union-attr]
    assert {e.get("class") for e in root.iter(f"{SVG}g")} <= set(ROLES)
    assert root.get("data-ratio") == repr(1 / 12)
    assert not any(e.get("stroke") for e in root.iter())


def test_a_place_on_the_screen_is_a_place_in_the_drawing() -> None:
    s = Sketch()
    s.line((0.2, 0.3), (1.4, 0.9))
    root = ET.fromstring(screen(s.drawing(), 0.1))
    (path,) = root.iter(f"{SVG}path")
    px, py = (float(v) for v in re.match(r"M(\S+) ([^L]+)L", path.get("d", "")).groups())  # type: ignore[union-attr]
    ratio, ox, oy = (float(root.get(k, "")) for k in ("data-ratio", "data-x", "data-y"))
    assert ((px - ox) / (1000 * ratio), (oy - py) / (1000 * ratio)) == pytest.approx((0.2, 0.3), abs=1e-5)
    assert Scale(0.1).point((0.2, 0.3)) == pytest.approx((px, py))


def test_screen_style_has_a_rule_for_every_line_role() -> None:
    for role in ROLES:
        assert (f"g.{role}{{" in SCREEN_STYLE) == (role != "fill")
    assert SCREEN_STYLE.count("{") == SCREEN_STYLE.count("}")


def test_same_input_same_text(sample: ModuleType) -> None:
    assert screen(sample.end_view(), 1 / 8) == screen(sample.end_view(), 1 / 8)
