"""What the sheets show of casters, wheels, tongue and handles."""

from __future__ import annotations

import json
import math
from functools import cache

import pytest

import workbench
from detail_sheets import example, text
from pitwright.layout.model import Pit
from pitwright.layout.pit import solve
from pitwright.sheets.ink import extent
from pitwright.sheets.laying import lay
from pitwright.sheets.paper import TABLOID
from pitwright.sheets.views import base, running
from pitwright.sheets.views.ends import stack_end_view
from pitwright.sheets.views.plan import plan_view
from pitwright.sheets.views.side import side_view
from pitwright.sheets.views.wants import heights, stations
from pitwright.summary import key_figures

PAPER = TABLOID.landscape()


@cache
def trailer(rules: str = "{}", override: str = "{}") -> Pit:
    facts = {
        "order": {"grate_height": "44", "base": "trailer"},
        "proportions": {"trailer": json.loads(rules), "firebox": {"size": "20"}},
        "override": json.loads(override),
    }
    return solve(workbench.job(facts))


def shown(pit: Pit) -> str:
    return " ".join(text(base.base_sheets(pit, PAPER)))


def test_the_trailer_sheet_squares_by_the_ball() -> None:
    pit = example("trailer-48")
    said = shown(pit)
    ball = pit.base.tongue.coupler
    for axle in pit.base.axles:
        reach = pit.tape.fine(math.hypot(ball[0] - axle.x, axle.track / 2.0))
        assert said.count(reach) >= 2  # each side has its own line and blank
        assert f"ball to {axle.name}, working side" in said
        assert f"ball to {axle.name}, back" in said
    assert "Trailer frame from above" in said
    assert "Skid" not in said
    for want in ("Along the tongue", "Tongue weight", "Bought for the base", "spring eye, front axle, stack side"):
        assert want in said
    for name in ("empty", "loaded"):
        assert pit.tape.mass(float(pit.reasons[f"trailer.tongue.{name}"].value)) in said


def test_no_frame_is_drawn_where_the_hitch_would_lift() -> None:
    pit = trailer(override='{"trailer.axle": "31"}')
    assert running.refused(pit)
    said = shown(pit)
    assert "No frame is drawn" in said
    assert "must go back" in said
    assert "Trailer frame from above" not in said
    assert "One pull along the rails" not in said
    assert not running.refused(trailer())


@pytest.mark.parametrize(
    ("name", "wanted"),
    [
        ("stand-24", ("Stand from above", "caster to caster across", "casters, corner to corner")),
        ("cart-20", ("Cart frame from above", "grip to wheel, working side", "rest leg, with its plate")),
    ],
)
def test_stand_and_cart_sheets_say_what_to_square_by(name: str, wanted: tuple[str, ...]) -> None:
    said = shown(example(name))
    for one in wanted:
        assert one in said


@pytest.mark.parametrize("name", ["trailer-48", "cart-20", "stand-24"])
def test_the_general_views_hold_what_it_rolls_on(name: str) -> None:
    pit = example(name)
    length = float(pit.reasons["overall.length"].value)
    scale = 1.0 / 24.0
    for view in (side_view(pit), plan_view(pit)):
        x0, _, x1, _ = extent(lay(view, scale))
        assert (x1 - x0) / 1000.0 / scale >= length - 0.01
    x0, _, x1, _ = extent(lay(stack_end_view(pit), scale))
    assert (x1 - x0) / 1000.0 / scale >= float(pit.reasons["overall.width"].value) - 0.01


def test_stations_and_heights_name_them() -> None:
    towed, rolled, stood = example("trailer-48"), example("cart-20"), example("stand-24")
    along = {w.what: w.value for w in stations(towed)}
    assert {"front axle", "rear axle", "middle of the ball"} <= set(along)
    middle = (along["front axle"] + along["rear axle"]) / 2.0
    assert middle == pytest.approx(float(towed.reasons["trailer.axle"].value))
    assert "ball of the hitch" in {w.what for w in heights(towed)}
    assert {"axle", "middle of the grips"} <= {w.what for w in stations(rolled)}
    assert {"caster 1", "caster 2"} <= {w.what for w in stations(stood)}


@pytest.mark.parametrize(
    ("name", "heading", "labels"),
    [
        ("stand-24", "stand", {"stands on", "floor to rail", "each rated for, at least"}),
        ("cart-20", "cart", {"axle, station", "axle to grips", "grips off the floor"}),
        ("trailer-48", "trailer", {"middle of two axles, station", "on the hitch, empty", "on the hitch, loaded"}),
    ],
)
def test_the_summary_says_what_it_rolls_on(name: str, heading: str, labels: set[str]) -> None:
    rows = dict(dict(key_figures(example(name)))[heading])
    assert labels <= set(rows)
    if name == "trailer-48":
        assert rows["on the hitch, loaded"].endswith("12.0%")  # as the order asks
