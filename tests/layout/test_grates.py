"""Grates: height, chord, clearance, ledges, slides, meat, drain."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.errors import PitwrightError
from pitwright.layout.grates import BEARING, DoorSpan, lay_out_grates, main_grate_offset
from pitwright.layout.model import PlacedFitting
from pitwright.layout.vessel import measure_body
from pitwright.masses import mass_of
from pitwright.parts import Bar, Part, Plate, Vec
from pitwright.tape import INCH, LB
from workbench import Upper, codes, draft_of, found, upper, vessel_of


def grates(**lines: Any) -> dict[str, Any]:
    return {"proportions": {"grates": lines}}


LEVELS = {"order": {"levels": [{"above": "8"}, {"above": "4 1/2", "slides": False}]}}


def piece(pit: Upper, name: str) -> Part:
    return next(p for p in pit.draft.parts if p.name == name)


def corners(part: Part) -> list[Vec]:
    """Corners of the section at both ends of every copy, in the pit [m]."""
    shape = part.shape
    out: list[Vec] = []
    for at in part.placements:
        if isinstance(shape, Bar):
            w, h = shape.profile.width / 2.0, shape.profile.height / 2.0
            out += [at.point((x, y, z)) for x in (shape.x0, shape.x1) for y in (-w, w) for z in (-h, h)]
        elif isinstance(shape, Plate):
            out += [at.point((x, y, z)) for x, y in shape.outline.points for z in (0.0, shape.thickness)]
    return out


def refused(changes: dict[str, Any]) -> PitwrightError:
    with pytest.raises(PitwrightError) as caught:
        upper(changes)
    assert caught.value.field
    assert caught.value.allowed
    return caught.value


# ---------------------------------------------------------------- height and width


@pytest.mark.parametrize("height", ["34", "37", "40 5/16"])
@pytest.mark.parametrize("below", ["1", "-2", "1/8 radius", "5"])
def test_the_cooking_surface_is_at_the_promised_height(height: str, below: str) -> None:
    pit = upper({"order": {"grate_height": height}, **grates(below_centre=below)})
    main = pit.grates.levels[0]
    assert main.z == pit.draft.job.order.grate_height
    top = max(z for _, _, z in corners(piece(pit, "main grate mesh")))
    assert top == pytest.approx(pit.draft.job.order.grate_height, abs=1e-12)
    under = max(z for _, _, z in corners(piece(pit, "main grate frame side")))
    assert under == pytest.approx(top - 3.0 / 16.0 * INCH)
    assert main.z - main.above_centre == pytest.approx(pit.vessel.centre_z)


@pytest.mark.parametrize(
    "changes", [{}, LEVELS, {"order": {"grate_slides": True}}, grates(below_centre="6"), grates(below_centre="-6")]
)
def test_frames_and_ledges_keep_inside_the_round(changes: dict[str, Any]) -> None:
    pit = upper(changes)
    inner, c = pit.vessel.inner_radius, pit.vessel.centre_z
    for level in pit.grates.levels:
        clear = pit.draft.rules.grates.side_clear
        for name in ("frame side", "frame end", "mesh", "ledge"):
            for x, y, z in corners(piece(pit, f"{level.name} {name}")):
                gap = math.sqrt(inner**2 - (z - c) ** 2) - abs(y)  # level distance to the wall
                assert gap > (-1e-9 if name == "ledge" else clear - 1e-9)
                assert 0.0 < x < pit.vessel.length
        # each ledge touches the wall along one edge, and the frame lies on it
        ledge = corners(piece(pit, f"{level.name} ledge"))
        nearest = min(math.sqrt(inner**2 - (z - c) ** 2) - abs(y) for _, y, z in ledge)
        assert nearest == pytest.approx(1e-4, abs=1e-6)
        frame_low = min(z for _, _, z in corners(piece(pit, f"{level.name} frame side")))
        assert max(z for _, _, z in ledge) == pytest.approx(frame_low)
        inner_edge = min(abs(y) for _, y, _ in ledge)
        assert level.width / 2.0 - inner_edge >= BEARING
    assert "grates.ledge" not in codes(pit.draft.findings)


def test_a_frame_that_hardly_reaches_its_ledge_is_told() -> None:
    pit = upper({"order": {"levels": [{"above": "11"}]}})
    told = found(pit.draft.findings, "grates.ledge")
    assert "grate 2 lies only" in told.text
    wider = upper({"order": {"levels": [{"above": "11"}]}, **grates(support="3 x 3 x 3/16 angle")})
    assert "grates.ledge" not in codes(wider.draft.findings)


def test_panels_share_the_length_and_doors_share_the_slides() -> None:
    pit = upper({"order": {"levels": [{"above": "8"}]}})
    main, slide = pit.grates.levels
    assert (main.panels, main.slides) == (3, False)
    assert main.panels * main.panel_length + 2 * 0.125 * INCH == pytest.approx(pit.vessel.length - 0.5 * INCH)
    assert (slide.panels, slide.slides) == (2, True)
    assert slide.panel_length == pytest.approx(33.5 * INCH)
    assert slide.travel == pytest.approx(0.6 * slide.width)
    assert main.area == pytest.approx(main.width * main.panel_length * 3)
    ends = corners(piece(pit, "grate 2 frame side"))
    for door in pit.edges:
        inside = [x for x, _, _ in ends if door.x0 - 1e-9 <= x <= door.x1 + 1e-9]
        assert min(inside) == pytest.approx(door.x0 + 0.25 * INCH)
        assert max(inside) == pytest.approx(door.x1 - 0.25 * INCH)
    assert piece(pit, "grate 2 mesh").moving == "grate 2"
    assert piece(pit, "grate 2 ledge").moving == ""
    assert "crosses the door openings" in piece(pit, "grate 2 ledge").notes[0]
    assert piece(pit, "main grate ledge").notes == ()


def test_frame_ends_butt_between_the_sides() -> None:
    pit = upper()
    sides, ends = corners(piece(pit, "main grate frame side")), corners(piece(pit, "main grate frame end"))
    assert max(y for _, y, _ in ends) == pytest.approx(max(y for _, y, _ in sides) - INCH)
    assert (min(x for x, _, _ in ends), max(x for x, _, _ in ends)) == pytest.approx(
        (min(x for x, _, _ in sides), max(x for x, _, _ in sides))
    )


def test_mesh_weighs_by_its_area() -> None:
    pit = upper()
    mesh = piece(pit, "main grate mesh")
    assert isinstance(mesh.shape, Plate)
    assert mass_of(mesh).mass == pytest.approx(mesh.shape.outline.area * 14.6)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        (grates(below_centre="14"), "proportions.grates.below_centre"),
        ({"order": {"levels": [{"above": "15"}]}}, "order.levels"),
        ({"measured": {"height": "52"}}, "measured.height"),
        (grates(below_centre="12"), "proportions.grates.below_centre"),
        (
            {"vessel": {"around": "50"}, **grates(side_clear="100 mm", below_centre="4")},
            "proportions.grates.side_clear",
        ),
        ({"override": {"grates.below_centre": "20"}}, "override.grates.below_centre"),
        ({"override": {"drain.x": "-2"}}, "override.drain.x"),
        (grates(frame="nothing"), "proportions.grates.frame"),
    ],
)
def test_grates_that_cannot_be(changes: dict[str, Any], field: str) -> None:
    if "measured" in changes:
        draft = draft_of(changes)
        body = measure_body(draft)
        vessel = vessel_of(draft, body, draft.job.order.grate_height - 52 * INCH)
        with pytest.raises(PitwrightError) as caught:
            lay_out_grates(draft, vessel, [DoorSpan(x0=0.2, x1=1.0)], ())
        assert caught.value.field == field
    else:
        assert refused(changes).field == field


def test_levels_too_close_are_told() -> None:
    pit = upper({"order": {"levels": [{"above": "3"}]}})
    assert found(pit.draft.findings, "grates.close").severity == "warn"
    # levels are laid from the bottom up whatever their order in the file
    assert [round(level.above_centre / INCH, 3) for level in upper(LEVELS).grates.levels] == [-1.0, 3.5, 7.0]


# ---------------------------------------------------------------- meat and drain


def test_meat_by_people_or_by_weight() -> None:
    pit = upper()
    assert pit.grates.meat_capacity == pytest.approx(pit.grates.area * 49.0)
    assert "grates.meat" not in codes(upper({"order": {"people": 100}}).draft.findings)
    told = found(upper({"order": {"people": 400}}).draft.findings, "grates.meat")
    assert "400 lb" in told.text
    assert upper({"order": {"meat": "90 lb", "people": 400}}).grates.meat_wanted == pytest.approx(90 * LB)


def test_a_new_drain_at_the_low_end() -> None:
    pit = upper()
    assert pit.grates.drain_x == pytest.approx(pit.vessel.length - 6 * INCH)
    nipple = piece(pit, "drain nipple")
    (at,) = nipple.placements
    assert at.origin == pytest.approx((pit.grates.drain_x, 0.0, pit.vessel.centre_z - pit.vessel.outer_radius))
    assert at.direction((1.0, 0.0, 0.0)) == (0.0, 0.0, -1.0)
    opening = next(o for o in pit.draft.openings if o.name == "drain")
    arounds = [a for _, a in opening.outline]
    assert (max(arounds) + min(arounds)) / 2.0 == pytest.approx(pit.vessel.around / 2.0)


def test_a_boss_that_serves_is_the_drain_where_it_is() -> None:
    draft = draft_of()
    body = measure_body(draft)
    above = main_grate_offset(draft, body.outer_radius, body.length)
    vessel = vessel_of(draft, body, above)
    draft.ledger.choose("doors.edge_clock", 1.67, "angle", because="")
    boss = PlacedFitting(name="boss", on="shell", x=1.7, clock=3.10, size=0.06, plan="reuse", serves="drain")
    layout = lay_out_grates(draft, vessel, [DoorSpan(x0=0.2, x1=1.0)], (boss,))
    assert (layout.drain_x, layout.drain_clock) == (1.7, 3.10)
    assert not [o for o in draft.openings if o.name == "drain"]
    assert not [p for p in draft.parts if p.name == "drain nipple"]
    assert draft.ledger.close()["drain.station"].because.startswith("boss of the vessel")


@given(
    st.floats(55.0, 160.0), st.floats(0.05, 0.6), st.floats(-0.8, 0.8), st.lists(st.floats(2.0, 18.0), max_size=3),
    st.booleans(),
)  # fmt: skip
@settings(max_examples=50)
def test_any_grates_solve_or_are_refused_in_words(
    around: float, wall: float, below: float, levels: list[float], slides: bool
) -> None:
    radius = around / 2.0 / math.pi
    changes = {"vessel": {"around": around, "wall": wall},
               "order": {"grate_height": 45, "grate_slides": slides, "levels": [{"above": a} for a in levels]},
               **grates(below_centre=below * radius)}  # fmt: skip
    try:
        pit: Upper | None = upper(changes)
    except PitwrightError as problem:
        pit = None
        text = problem.text()
    if pit is None:
        assert "Allowed" in text
        return
    inner = pit.vessel.inner_radius
    for level in pit.grates.levels:
        assert 0.0 < level.width < level.chord <= 2.0 * inner
        assert level.panel_length > 0.0
    heights = [level.z for level in pit.grates.levels]
    assert heights == sorted(heights)
