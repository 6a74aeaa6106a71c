"""The set as it is handed out: what is held back, pages measured, files read back, nothing in the way of anything."""

import io

import ezdxf
import ezdxf.bbox
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import standing_pits
import template_pits
import workbench
from pitwright.layout.pit import solve
from pitwright.pack import PIECES
from pitwright.sheets.clash import clashes
from pitwright.sheets.ink import Clip, Stroke, Words, extent, shifted
from pitwright.sheets.laying import lay
from pitwright.sheets.page import Page
from pitwright.sheets.paper import A4, LETTER, Paper
from pitwright.sheets.shapes import Arc, Line, Polyline
from pitwright.sheets.templates.issue import held_back, template_pages, template_paper, template_roll, templates


def words(page):
    return " ".join(i.text for i in page.all_ink() if isinstance(i, Words))


@pytest.mark.parametrize("name", template_pits.NAMES)
@pytest.mark.parametrize("cleared", [True, False])
def test_no_template_has_lettering_in_the_way(name, cleared):
    for template in templates(template_pits.pit(name, cleared=cleared)):
        ink = lay(template.drawing, 1.0)
        x0, y0, x1, y1 = extent(ink)
        page = Page(Paper.roll(x1 - x0 + 24.0, y1 - y0 + 24.0), shifted(ink, 12.0 - x0, 12.0 - y0))
        assert clashes(page) == (), template.name


@pytest.mark.parametrize("name", ["worked", "metric reverse", "left pipe on saddles", "pipe legs leaning both ways"])
@pytest.mark.parametrize("paper", [LETTER, A4])
def test_pages_are_clean_and_say_what_to_do_with_a_wrong_bar(name, paper):
    pages = template_pages(template_pits.pit(name), paper)
    assert all(clashes(p) == () for p in pages)
    assert [p.number for p in pages] == list(range(1, len(pages) + 1))
    guide = " ".join(words(p) for p in pages if p.stamp)
    assert "do not cut from that sheet" in guide
    tiles = [p for p in pages if not p.stamp]
    assert all("do not cut from this print" in words(p) and "6 in" in words(p) for p in tiles)


def test_contents_name_the_pages_each_template_stands_on():
    pit = template_pits.pit("worked")
    pages = template_pages(pit, LETTER)
    guide = [p for p in pages if p.stamp]
    listed = words(guide[0])
    first = len(guide)
    for i, template in enumerate(templates(pit), 1):
        mine = [p.number for p in pages if f"T{i}  {template.name}" in words(p) and not p.stamp]
        assert mine[0] == first + 1
        span = str(mine[0]) if len(mine) == 1 else f"{mine[0]}–{mine[-1]}"
        assert f"T{i} {template.name} {', '.join(template.marks)} {span}" in listed
        first = mine[-1]
    assert first == len(pages)


def bar_lengths(page, printed):
    """Both proof bars of a tile as printed [mm]."""
    dots = 600
    mm = 25.4 / dots
    found = []
    for text in ("6 in", "150 mm"):
        (label,) = [i for i in page.ink if isinstance(i, Words) and i.text == text]
        below = label.at[1] + 0.9 + 1.5
        row = printed(page, dots, below, below + 0.5)[5]
        dark = np.flatnonzero(row[: round((label.at[0] + 90.0) / mm)])
        runs = np.split(dark, np.flatnonzero(np.diff(dark) > 1) + 1)
        middles = [(r[0] + r[-1] + 1) / 2.0 * mm for r in runs]
        found.append(middles[-1] - middles[-2])
    return found


@pytest.mark.parametrize(("name", "paper"), [("worked", LETTER), ("metric reverse", A4)])
def test_printed_bars_measure_true_on_every_kind_of_template(name, paper, printed):
    pit = template_pits.pit(name)
    assert template_paper(pit) == paper
    seen = set()
    for page in template_pages(pit, paper):
        title = words(page).split(" · ")[2] if not page.stamp else ""
        if title and title not in seen:
            seen.add(title)
            assert bar_lengths(page, printed) == pytest.approx([152.4, 150.0], abs=0.25)
    assert len(seen) == len(templates(pit))


def test_printed_pad_measures_as_the_blank(printed):
    """The steel's own size off the printed sheet: 152 mm of pad within a quarter of a millimetre."""
    pit = template_pits.pit("metric reverse")
    (part,) = [p for p in pit.parts if p.name == "leg pad"]
    page = next(p for p in template_pages(pit, A4) if "Leg pad" in words(p) and not p.stamp)
    (clip,) = [i for i in page.ink if isinstance(i, Clip)]
    box = extent([i for i in clip.ink if isinstance(i, Stroke) and i.role == "cut"])
    dots = 600
    level = box[1] + 0.33 * (box[3] - box[1])
    row = printed(page, dots, level, level + 1.0)[10]
    dark = np.flatnonzero(row) * 25.4 / dots
    dark = dark[(dark > box[0] - 2.0) & (dark < box[2] + 2.0)]
    wide = dark[-1] - dark[0] + 25.4 / dots - 0.7  # edge to edge of two 0.7 mm lines
    x0, _, x1, _ = part.flat.bounds()
    assert wide == pytest.approx((x1 - x0) * 1000.0, abs=0.25)


def test_cut_marks_on_the_vessel_wait_for_the_make_safe_record():
    for name in ("worked", "double wall", "end stack"):
        open_, signed = template_pits.pit(name, cleared=False), template_pits.pit(name)
        missing = {t.slug for t in templates(signed)} - {t.slug for t in templates(open_)}
        want = {f"door-corner-{e}-{s}" for e in ("hinge", "lower") for s in ("fire", "stack")}
        want |= {"throat-window"} if name == "double wall" else set()
        want |= set() if name == "end stack" else {"stack-hole"}
        assert missing == want
        assert held_back(signed) == ()
        pages = template_pages(open_, LETTER)
        guide = " ".join(words(p) for p in pages if p.stamp)
        assert all(what in guide for what in held_back(open_))
        assert "make-safe record is not complete" in guide
        assert all("NOT CLEARED" in words(p) for p in pages)
        assert not any("door-corner" in key for key in template_roll(open_))


@pytest.mark.parametrize("name", ["worked", "metric reverse", "box on the dish"])
def test_roll_files_are_whole_and_true(name):
    pit = template_pits.pit(name)
    made = templates(pit)
    roll = template_roll(pit)
    assert len(roll) == len(made)
    for template, (key, files) in zip(made, roll.items(), strict=True):
        assert set(files) == {f"{key}.pdf", f"{key}.svg", f"{key}.dxf"}
        assert files[f"{key}.pdf"].startswith(b"%PDF")
        assert b"150 mm" in files[f"{key}.svg"]
        document = ezdxf.read(io.StringIO(files[f"{key}.dxf"].decode()))
        audit = document.audit()
        assert not audit.errors
        assert not audit.fixes
        assert document.header["$INSUNITS"] == (1 if pit.tape.inch else 4)
        unit = 25.4e-3 if pit.tape.inch else 1e-3
        found = ezdxf.bbox.extents(document.modelspace().query('*[layer=="CUT"]'), fast=False)
        xs, ys = [], []
        for p in template.drawing.primitives:
            if getattr(p, "role", "") == "cut":
                x0, y0, x1, y1 = extent(i for i in lay(type(template.drawing)((p,)), 1.0) if isinstance(i, Stroke))
                xs += [x0, x1]
                ys += [y0, y1]
        assert (found.extmax.x - found.extmin.x) * unit * 1000.0 == pytest.approx(max(xs) - min(xs), abs=0.1)
        assert (found.extmax.y - found.extmin.y) * unit * 1000.0 == pytest.approx(max(ys) - min(ys), abs=0.1)


def shape(drawing, flip):
    """Cut lines by their points, from the drawing's left edge (or its right edge, turned over)."""
    points = []
    for p in drawing.primitives:
        if getattr(p, "role", "") in ("cut", "outline") and isinstance(p, Polyline | Line | Arc):
            points += p.reach()
    xs = [p[0] for p in points]
    edge = max(xs) if flip else min(xs)
    return sorted((round(abs(x - edge), 7), round(y, 7)) for x, y in points)


@settings(max_examples=8)
@given(
    behind=st.floats(0.0, 6.0),
    lean=st.sampled_from(["0", "5", "9"]),
    profile=st.sampled_from(["2 x 2 x 1/4 tube", "2-1/2 sch 40 pipe"]),
    joint=st.sampled_from(["cut", "dished"]),
)
def test_a_mirrored_pit_has_mirrored_templates(behind, lean, profile, joint):
    def pit(side):
        changes = {
            "make_safe": standing_pits.SIGNED,
            "order": {"firebox_side": side},
            "proportions": {
                "stack": {"behind_top": f"{behind:.4f}"},
                "legs": {"lean_along": lean, "profile": profile, "end": "coped"},
                "firebox": {"joint": joint},
            },
        }
        return solve(workbench.job(changes))

    right, left = templates(pit("right")), templates(pit("left"))
    assert [t.slug for t in right] == [t.slug for t in left]
    for one, other in zip(right, left, strict=True):
        a, b = (np.array(shape(d, flip=f)) for d, f in ((one.drawing, False), (other.drawing, True)))
        assert a.shape == b.shape
        assert np.abs(a - b).max() < 2e-6, one.slug


def test_templates_and_roll_are_pieces_of_the_pack():
    pit = template_pits.pit("worked")
    pieces = {p.name: p for p in PIECES}
    (name,) = pieces["templates"].make(pit, "tabloid")
    assert name == "templates.pdf"
    files = pieces["roll"].make(pit, "tabloid")
    assert len(files) == 3 * len(templates(pit))
    assert all(f.startswith("roll/") for f in files)
