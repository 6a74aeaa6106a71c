"""Sheets of a vessel on end: which there are, readable on every paper, held back where it is not cleared, true at full size."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

import uprights
from pitwright.sheets.clash import clashes
from pitwright.sheets.ink import Words
from pitwright.sheets.paper import A4, LETTER, TABLOID
from pitwright.sheets.pdf import page_svg
from pitwright.sheets.planset import ON_END, plan_set, sheets_of
from pitwright.sheets.templates.issue import held_back, template_pages, templates
from pitwright.sheets.templates.strips import strip_curve, strip_figures
from pitwright.sheets.templates.upright import firebox_strip
from pitwright.sheets.views.upright_wants import upright_wall

PAPERS = (TABLOID.landscape(), LETTER.landscape(), A4.landscape())
KINDS = {
    "pipe": {},
    "box, stack out of the back, left": {
        "order__firebox_side": "left",
        "order__grate_height": "44",
        "proportions__firebox": {"shape": "box", "wall": "1/4", "end_plate": "1/4", "ash_height": "5"},
        "proportions__upright": {"stack": "shell", "pan": "water pan", "stands_on": "casters"},
    },
    "plated ends, hinged on the firebox side": {
        "vessel__head_a": {"type": "none"},
        "vessel__head_b": {"type": "flat"},
        "proportions__upright": {"hinge": "firebox side", "pan": "none"},
    },
}


def words(pages):
    return " ".join(i.text for page in pages for i in page.ink if isinstance(i, Words))


@pytest.mark.parametrize("paper", PAPERS, ids=lambda p: f"{p.name}")
@pytest.mark.parametrize("kind", KINDS)
def test_own_sheets_read_clear_on_every_paper(kind, paper):
    pit = uprights.small(**KINDS[kind])
    pages = plan_set(pit, paper, (), tuple(ON_END.values()))
    assert [c for page in pages for c in clashes(page)] == []


def test_no_page_is_made_for_what_it_has_not():
    pit = uprights.small()
    codes = [s.code for s in sheets_of(pit) if s.make(pit, PAPERS[0])]
    assert not {"LEGS", "ENDS", "TOW"} & set(codes)
    assert {"SIDE", "PLAN", "WRAP", "DOORS", "FIREBOX", "GRATES", "BASE", "STACK", "CHECK", "FIRE", "STAND"} <= set(
        codes
    )


def test_sheets_speak_of_an_upright_in_its_own_words():
    text = words(plan_set(uprights.small(), PAPERS[0]))
    for lying in ("spring line", "fire seam", "stack seam", "top line", "stack end", "leg set"):
        assert lying not in text, lying
    assert set(re.findall(r"\bsee ([A-Z]{3,})\b", text)) <= {s.code for s in sheets_of(uprights.small())}
    assert "Leg rules do not apply" in text


def test_the_wall_has_its_four_numbers():
    pit = uprights.small()
    tape, own = pit.tape, pit.upright
    base, fire, seam, gap = upright_wall(pit)
    assert base.figure.startswith(tape.length(own.square))
    assert fire.figure == tape.length(pit.firebox.centre_z)
    assert seam.figure == tape.length(pit.vessel.seam_z)
    assert gap.figure.endswith(tape.length(pit.doors[0].x0))


def test_nothing_that_is_cut_shows_before_the_vessel_is_cleared():
    pit = uprights.small(make_safe={"held": "air"})
    pages = plan_set(pit, PAPERS[0])
    tape, door, window = pit.tape, pit.doors[0], pit.upright.window
    for page in pages:
        svg = page_svg(page)
        assert "NOT CLEARED: NO CUT MARKS" in svg
        for held in (tape.fine(door.diagonal), "door hinge edge", "window centre", "point by point"):
            assert held not in svg
    assert tape.length((window.x0 + window.x1) / 2.0) not in words(
        [p for p in pages if p.stamp.title.startswith(("WRAP", "MAN1"))]
    )
    assert held_back(pit) == ("firebox window", "door corners")
    assert {t.slug for t in templates(pit)} == {"vessel-profile", "firebox-cope"}


# ---------------------------------------------------------------- full size


def test_firebox_strip_lies_on_the_shell_when_it_is_wrapped():
    """Points of the strip put back round the pipe: their distance from the vessel's axis is its outside radius."""
    pit = uprights.small()
    strip, box, radius = firebox_strip(pit), pit.firebox, pit.vessel.outer_radius
    figures, r = strip_figures(pit, strip), pit.firebox.width / 2.0
    assert figures.girth == pytest.approx(2.0 * math.pi * r)
    curve = np.array(strip_curve(pit, strip))
    clock = curve[:, 0] / r
    hang = curve[:, 1] - curve[:, 1].max()  # how far each point hangs past the shortest side
    side, shortest = r * np.sin(clock), radius  # the shortest side meets the shell on its middle line
    out = shortest + hang  # distance of the point from the axis, along the pipe
    assert np.hypot(out, side) == pytest.approx(radius, abs=1e-4)
    assert box.x1 == pytest.approx(-radius)


def test_window_template_is_the_window():
    pit = uprights.small()
    window = next(t for t in templates(pit) if t.slug == "firebox-window")
    cut = next(p for p in window.drawing.primitives if getattr(p, "role", "") == "cut")
    x, y = np.array(cut.points).T
    shape = abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2.0
    assert shape == pytest.approx(pit.upright.window.skin_area, rel=1e-3)
    assert y.max() - y.min() == pytest.approx(pit.upright.window.x1 - pit.upright.window.x0, rel=1e-4)


@pytest.mark.parametrize("kind", KINDS)
def test_templates_are_issued_with_a_guide(kind):
    pit = uprights.small(**KINDS[kind])
    issued = {t.slug for t in templates(pit)}
    assert "firebox-window" in issued
    assert len([s for s in issued if s.startswith("door-corner")]) == 4
    assert ("firebox-cope" in issued) == (pit.firebox.shape == "round")
    assert ("stack-stub-to-the-shell" in issued) == (pit.stack.place == "back")
    assert len(template_pages(pit, LETTER)) > len(issued)
