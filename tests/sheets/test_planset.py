"""The plan set: readable on every paper, numbered, referred to rightly, held back where the vessel is not cleared."""

import dataclasses
import re
from pathlib import Path

import pytest

import standing_pits
from pitwright.findings import Finding
from pitwright.job.file import load_job
from pitwright.layout.model import Verdict
from pitwright.layout.pit import solve
from pitwright.masses import mass_of
from pitwright.sheets.clash import clashes
from pitwright.sheets.ink import Words
from pitwright.sheets.paper import A4, LETTER
from pitwright.sheets.pdf import page_svg
from pitwright.sheets.planset import SHEETS, plan_set
from pitwright.sheets.views.cover import ContentsLine, cover_pages
from pitwright.sheets.views.general import ENDS, PLAN, SIDE
from pitwright.sheets.views.wall import HELD, wall_figures
from pitwright.sheets.views.wrap import WRAP

GENERAL = (SIDE, ENDS, PLAN, WRAP)
PICTURE = (((0.0, 0.0), (2.0, 0.0), (2.0, 1.0)), ((0.0, 0.0), (0.0, 1.5)))


def words(pages):
    return " ".join(i.text for page in pages for i in page.ink if isinstance(i, Words))


@pytest.mark.parametrize("paper", standing_pits.PAPERS, ids=lambda p: p.name)
@pytest.mark.parametrize("name", standing_pits.FACTS)
def test_every_sheet_reads_clear_on_every_paper(name, paper):
    pages = plan_set(standing_pits.pit(name), paper, PICTURE, GENERAL)
    assert [c for page in pages for c in clashes(page)] == []


def test_sheets_are_numbered_and_the_cover_says_where_each_is():
    pages = plan_set(standing_pits.pit("worked"), standing_pits.PAPERS[1], PICTURE)
    assert [p.number for p in pages] == list(range(1, len(pages) + 1))
    assert {p.count for p in pages} == {len(pages)}
    by_code: dict[str, list[int]] = {}
    for page in pages:
        by_code.setdefault(page.stamp.title.split("  ")[0], []).append(page.number)
    assert list(by_code) == ["COVER", *(s.code for s in SHEETS if s.code in by_code)]
    front = words(pages[: len(by_code["COVER"])])
    for code, numbers in by_code.items():
        span = str(numbers[0]) if len(numbers) == 1 else f"{numbers[0]}–{numbers[-1]}"
        assert numbers == list(range(numbers[0], numbers[-1] + 1))
        assert f"{span} {code} " in front


def test_sheets_refer_only_to_sheets_that_may_be_there():
    """`see WRAP` must name a code of the set."""
    text = words(plan_set(standing_pits.pit("worked"), standing_pits.PAPERS[0]))
    assert set(re.findall(r"\bsee ([A-Z]{3,})\b", text)) <= {s.code for s in SHEETS}


def test_the_same_pit_gives_the_same_sheets():
    pit, paper = standing_pits.pit("metric reverse"), standing_pits.PAPERS[0]
    first, second = (plan_set(pit, paper, PICTURE, GENERAL) for _ in range(2))
    assert [page_svg(p) for p in first] == [page_svg(p) for p in second]


@pytest.mark.parametrize("paper", standing_pits.PAPERS[:2], ids=lambda p: p.name)
def test_a_vessel_that_is_not_cleared_is_marked_on_every_page(paper):
    pit = standing_pits.pit("worked", cleared=False)
    pages = plan_set(pit, paper, PICTURE, GENERAL)
    assert [c for page in pages for c in clashes(page)] == []
    held = {m.what for m in pit.marks if m.needs and "," in m.what}
    for page in pages:
        svg = page_svg(page)
        assert "NOT CLEARED: NO CUT MARKS" in svg
        assert "Do not heat, cut or grind" in svg
        assert not any(what in svg for what in held)
    assert "cannot call a vessel safe" in words(plan_set(standing_pits.pit("worked"), paper, (), GENERAL))


def test_the_wall_has_the_four_numbers_of_the_pit():
    pit = standing_pits.pit("worked")
    tape, vessel = pit.tape, pit.vessel
    feet, drop, stack, clock = wall_figures(pit)
    places = sorted(vessel.station(s.legs[0].x) for s in pit.leg_sets)
    assert feet.figure == " and ".join(tape.length(p) for p in places)
    assert tape.length(2.0 * pit.leg_sets[0].half_spread) in feet.note
    assert drop.figure == tape.length(pit.firebox.drop)
    assert stack.figure == tape.length(vessel.station(pit.stack.x))
    assert tape.length(-pit.stack.y) in stack.note
    leg = next(leg for leg in pit.leg_sets[0].legs if leg.side == "working")
    around = vessel.around / 2.0 - leg.around
    assert clock.figure == f"{tape.length(around)} / {tape.length(vessel.around_at(pit.doors[0].edge_clock))}"
    held = wall_figures(standing_pits.pit("worked", cleared=False))
    assert held[2].figure == HELD
    assert HELD in held[3].figure


def test_the_cover_tells_findings_worst_first_and_what_was_measured():
    pit = standing_pits.pit("worked")
    made_up = (
        Finding(code="a.note", severity="note", text="A small thing to know."),
        Finding(code="z.stop", severity="stop", text="This must not be built.", remedy="Move the stack."),
    )
    pit = dataclasses.replace(
        pit,
        findings=made_up,
        revision="C",
        moved=("leg set A moved 1/16 to the fire",),
        verdicts=(Verdict(mark="L1", verdict="trim", text="take 1/8 off the foot", gap=0.0, trim=0.003),),
        dead_sheets=("WRAP, revision B",),
    )
    line = ContentsLine(pages="1", code="COVER", title="Plan set", whose="everyone")
    pages = cover_pages(pit, standing_pits.PAPERS[1], PICTURE, (line,))
    text = words(pages)
    assert text.index("This must not be built.") < text.index("A small thing to know.")
    assert "Way out: Move the stack." in text
    for said in ("leg set A moved 1/16 to the fire", "take 1/8 off the foot", "WRAP, revision B", "revision C"):
        assert said in text
    assert {p.stamp.revision for p in pages} == {"C"}
    assert [c for p in pages for c in clashes(p)] == []


def test_weights_on_the_cover_are_the_pieces():
    pit = standing_pits.pit("worked")
    text = words(cover_pages(pit, standing_pits.PAPERS[0], (), ()))
    pieces = sum(mass_of(p).mass * p.quantity for p in pit.parts)
    assert f"all pieces {sum(p.quantity for p in pit.parts)} {pit.tape.mass(pieces)}" in text
    assert pit.tape.mass(pit.balance["empty"].mass) in text


def test_the_picture_fills_its_room_and_stays_in_it():
    pages = cover_pages(standing_pits.pit("worked"), standing_pits.PAPERS[0], PICTURE, ())
    (room,) = [r for r in pages[0].rooms if r.name == "picture"]
    (x0, y0, x1, y1), (a0, b0, a1, b1) = room.box, room.reach
    assert x0 - 1e-6 <= a0
    assert a1 <= x1 + 1e-6
    assert y0 - 1e-6 <= b0
    assert b1 <= y1 + 1e-6
    assert max((a1 - a0) / (x1 - x0), (b1 - b0) / (y1 - y0)) == pytest.approx(1.0, abs=1e-6)


EXAMPLES = sorted(p for p in (Path(__file__).parents[2] / "examples").glob("*.toml") if p.stem != "shop")
MOVED_BY = {"cart": "at the handles", "trailer": "on the tongue", "stand": "each caster rated for", "skid": "no wheels"}


@pytest.mark.parametrize("path", EXAMPLES, ids=[p.stem for p in EXAMPLES])
def test_what_stands_lifts_and_rolls_reads_clear_on_office_paper(path):
    """The sheets with the most to say on the smallest paper, of a pit on every base."""
    pit = solve(load_job(path))
    makers = [m for m in SHEETS if m.code in ("STAND", "LIFT", "TOW", "PLACARD")]
    for paper in (LETTER.landscape(), A4.landscape()):
        pages = [page for maker in makers for page in maker.make(pit, paper)]
        assert [(page.stamp.title, c) for page in pages for c in clashes(page)] == []
    if pit.base.kind in MOVED_BY:
        assert MOVED_BY[pit.base.kind] in words(makers[-1].make(pit, A4.landscape()))
