"""Plate saddles: arc and heights, the plate's true outline, pads, and the sheet that is too narrow.

Worked figures of the trade notes (common practice, no source): around 81-11/16, contact 120, centre 24 over the bar.
"""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import LayoutError
from pitwright.layout.base import contact_zones, lay_out_base
from pitwright.layout.base_sizes import base_sizes
from pitwright.layout.saddles import lay_out_saddles, saddle_figures, saddle_outline
from pitwright.parts import Shell
from pitwright.tape import INCH, Tape
from workbench import codes, draft_of, found, upper

# Vessel centre 24 over a 3 in base bar: grate 26, 1 below the centre.
JOB = {"vessel": {"around": "81 11/16"}, "order": {"grate_height": "26", "base": "saddles"}}
TAPE = Tape.for_system("inch")


def set_down(rules=None):
    made = upper(JOB | {"proportions": {"saddles": rules or {}}})
    sizes = base_sizes(made.draft, made.vessel.outer_radius, made.vessel.length)
    return made.draft, made.vessel, sizes, lay_out_saddles(made.draft, made.vessel, sizes)


def test_worked_saddle():
    _, vessel, _, (one, other) = set_down()
    assert vessel.outer_radius / INCH == pytest.approx(13.0, abs=0.005)
    assert TAPE.length(one.chord) == '22-1/2"'
    assert TAPE.length(one.sag) == '6-1/2"'
    assert one.arc / INCH == pytest.approx(27.25, abs=1 / 32)
    assert TAPE.length(one.edge_height) == '17-1/2"'
    assert TAPE.length(one.middle_height) == '11"'
    assert one.blank == (one.width, one.edge_height)
    # A quarter of the seam length in from each seam.
    assert (one.x, other.x) == pytest.approx((0.75 * vessel.length, 0.25 * vessel.length))


def test_worked_pad():
    _, vessel, _, (one, _) = set_down({"pad_thickness": "1/4"})
    assert TAPE.length(one.cut_radius) == '13-1/4"'
    assert one.cut_radius == pytest.approx(vessel.outer_radius + 0.25 * INCH)


def test_ears_do_not_fit_two_on_a_sheet():
    plain, _, _, _ = set_down()
    assert "saddles.blanks" not in codes(plain.findings)
    draft, _, _, (one, _) = set_down({"ears": "1"})
    trap = found(draft.findings, "saddles.blanks")
    assert TAPE.length(one.width) == '24-1/2"'
    assert '23-7/8" wide each' in trap.text
    assert '24-1/2"' in trap.text
    assert trap.clearance < 0.0
    # The ears it allows are the ones that just fit.
    most = (48 * INCH - 0.25 * INCH) / 2
    assert TAPE.length((most - one.chord) / 2) in trap.remedy
    wide, _, _, _ = set_down({"contact": "150"})
    assert "do not lie side by side" in found(wide.findings, "saddles.blanks").text


@given(st.floats(0.2, 1.0), st.floats(1.0, 2.8), st.floats(0.0, 0.02), st.floats(0.0, 0.1), st.floats(1.05, 3.0))
def test_outline_lies_on_the_round(radius, contact, pad, ears, tall):
    """The plate's arc, cut into points, stands on the circle of its cut radius; its area by strips under the arc."""
    height = tall * (radius + pad)
    f = saddle_figures(radius=radius, pad=pad, contact=contact, height=height, ears=ears)
    _, _, _, (layout, _) = CACHED
    saddle = replace(
        layout,
        contact=contact,
        cut_radius=f["cut_radius"],
        chord=f["chord"],
        sag=f["sag"],
        arc=f["arc"],
        width=f["width"],
        edge_height=f["edge_height"],
        middle_height=f["middle_height"],
    )
    outline = saddle_outline(saddle)
    points = outline.flattened(1e-6 * radius)
    arc = [p for p in points if abs(p[0]) < f["chord"] / 2 * (1 - 1e-9) and p[1] > 1e-12]
    assert len(arc) > 20
    for y, z in arc:
        assert math.hypot(y, height - z) == pytest.approx(f["cut_radius"], rel=1e-9)
    assert min(p[1] for p in arc) == pytest.approx(f["middle_height"], abs=1e-6 * radius)
    n = 2000
    strips = 0.0
    for i in range(n):
        y = -f["chord"] / 2 + f["chord"] * (i + 0.5) / n
        strips += (height - math.sqrt(f["cut_radius"] ** 2 - y * y)) * f["chord"] / n
    assert outline.area == pytest.approx(strips + 2 * ears * f["edge_height"], rel=1e-5)
    walked = sum(math.dist(a, b) for a, b in zip(points, points[1:] + points[:1]))
    assert walked == pytest.approx(outline.perimeter, rel=1e-5)


CACHED = set_down()


def test_pieces_in_place():
    draft, vessel, sizes, saddles = set_down({"pad_thickness": "1/4"})
    plate, pad, stiff = (next(p for p in draft.parts if w in p.name) for w in ("saddle plate", "wear pad", "stiffener"))
    for saddle, where in zip(saddles, plate.placements):
        low = where.point((0.0, saddle.middle_height, plate.shape.thickness / 2))
        assert low == pytest.approx((saddle.x, 0.0, vessel.centre_z - saddle.cut_radius))
        assert where.point((0.0, 0.0, 0.0))[2] == pytest.approx(sizes.rail_top)
    assert isinstance(pad.shape, Shell)
    for where in pad.placements:  # its middle lies at the bottom of the shell
        assert where.point((0.0, 0.0, pad.shape.outer_radius))[2] == pytest.approx(
            vessel.centre_z - vessel.outer_radius - 0.25 * INCH
        )
    for where in stiff.placements:
        x0, y0, x1, y1 = stiff.shape.outline.bounds()
        for v in (0.0, stiff.shape.thickness):
            for x, y in ((x0, y0), (x1, y0), (x0, y1), (x1, y1)):
                p = where.point((x, y, v))
                assert math.hypot(p[1], p[2] - vessel.centre_z) > saddles[0].cut_radius
                assert p[2] >= sizes.rail_top - 1e-12
    assert all(not w.mirrored for p in (plate, pad, stiff) for w in p.placements)


def test_saddles_stand_on_their_cross_members():
    made = upper(JOB)
    base, legs, saddles = lay_out_base(made.draft, made.vessel, made.firebox, made.doors, made.grates)
    assert legs == ()
    assert base.kind == "saddles"
    for saddle in saddles:
        near = min(abs(c.x - saddle.x) for c in base.crosses)
        assert near <= (base.cross.width - saddle.thickness) / 2 + 1e-9


def test_refusals():
    low = upper(JOB | {"order": {"grate_height": "14", "base": "saddles"}})
    sizes = base_sizes(low.draft, low.vessel.outer_radius, low.vessel.length)
    with pytest.raises(LayoutError, match="no room for saddles"):
        lay_out_saddles(low.draft, low.vessel, sizes)
    standing = upper({"order": {"base": "upright"}})  # its own layout; the leg and saddle rules refuse it
    with pytest.raises(LayoutError, match="not laid out"):
        lay_out_base(standing.draft, standing.vessel, standing.firebox, standing.doors, standing.grates)


def test_zones_for_turning_the_vessel():
    made = upper(JOB)
    zones = contact_zones(made.draft, made.vessel)
    assert [z.name for z in zones] == ["saddle A", "saddle B"]
    assert zones[0].clock1 - zones[0].clock0 == pytest.approx(math.radians(120))
    assert (zones[0].clock0 + zones[0].clock1) / 2 == pytest.approx(math.pi)
    assert draft_of(JOB).rules.saddles.thickness / INCH == pytest.approx(0.375)
