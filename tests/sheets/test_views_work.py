"""Work sheets: readable on every paper, their figures the pit's own, held back where the vessel is not cleared."""

from __future__ import annotations

import re

import pytest

import standing_pits
from pitwright.sheets.clash import clashes
from pitwright.sheets.ink import Words
from pitwright.sheets.paper import A4, LETTER, TABLOID
from pitwright.sheets.pdf import pdf
from pitwright.sheets.planset import SHEETS
from pitwright.sheets.views import nests
from pitwright.sheets.views.check import CHECK
from pitwright.sheets.views.crew import MAN_BASE, MAN_PLATE, MAN_VESSEL
from pitwright.sheets.views.nests import NESTS
from pitwright.sheets.views.order import ORDER
from pitwright.sheets.views.placard import PLACARD
from pitwright.sheets.views.quote import PRICE, QUOTE
from pitwright.sheets.views.survey import SURVEY, blank_survey
from pitwright.sheets.views.wall import HELD
from pitwright.sheets.views.welds import WELDS
from pitwright.shop.nesting import plan_plates
from pitwright.shop.order import build_order
from pitwright.shop.price import price
from pitwright.shop.welds import totals, weld_list

MAKERS = (SURVEY, ORDER, MAN_VESSEL, MAN_BASE, MAN_PLATE, NESTS, WELDS, CHECK, PLACARD, QUOTE, PRICE)
MEN = (MAN_VESSEL, MAN_BASE, MAN_PLATE)


def words(pages) -> str:
    return " ".join(i.text for page in pages for i in page.ink if isinstance(i, Words))


@pytest.mark.parametrize("paper", standing_pits.PAPERS, ids=lambda p: p.name)
@pytest.mark.parametrize("name", standing_pits.FACTS)
def test_every_work_sheet_reads_clear_on_every_paper(name, paper):
    pit = standing_pits.pit(name)
    for maker in MAKERS:
        for page in maker.make(pit, paper):
            assert clashes(page) == (), maker.code


@pytest.mark.parametrize("name", ["worked", "left pipe on saddles"])
def test_held_sheets_read_clear_and_place_no_cut(name):
    pit, free = standing_pits.pit(name, cleared=False), standing_pits.pit(name)
    door = free.doors[0]
    cuts = (free.tape.fine(door.diagonal), free.tape.length(free.vessel.station(free.stack.x)))
    for maker in (ORDER, *MEN, CHECK):
        pages = maker.make(pit, LETTER.landscape())
        assert [c for p in pages for c in clashes(p)] == []
        assert {p.watermark for p in pages} == {"NOT CLEARED: NO CUT MARKS"}
        said = [i.text for page in pages for i in page.ink if isinstance(i, Words)]
        for cut in cuts:
            assert cut not in said, (maker.code, cut)
    for maker in (ORDER, MAN_VESSEL):
        assert HELD in words(maker.make(pit, LETTER.landscape()))


def test_every_sheet_is_stamped_with_revision_date_job_key_and_check():
    pit = standing_pits.pit("worked")
    for maker in MAKERS:
        for page in maker.make(pit, A4.landscape()):
            stamp = page.stamp
            assert stamp is not None
            assert stamp.revision == pit.revision
            assert pit.job.job.name in stamp.job
            assert stamp.date
            assert all(stamp.key)
            assert all(stamp.check)
            assert stamp.title.startswith(maker.code)


@pytest.mark.parametrize("paper", [LETTER, TABLOID, A4], ids=lambda p: p.name)
@pytest.mark.parametrize("name", standing_pits.FACTS)
def test_one_page_a_man_with_figures_to_read_at_arms_length(name, paper):
    """At least 6 mm high (17 points) on any paper; 8.5 mm (24 points) on tabloid."""
    pit = standing_pits.pit(name)
    for maker in MEN:
        (page,) = maker.make(pit, paper.landscape())
        big = [i.height for i in page.ink if isinstance(i, Words) and i.bold and i.height > 4.5]
        assert len(big) >= 8
        assert min(big) >= (8.5 if paper is TABLOID else 6.0), (maker.code, min(big))


def test_the_blank_card_needs_no_job():
    for system, paper in (("inch", "Letter"), ("metric", "A4")):
        pages = blank_survey(system)
        assert {p.paper.name for p in pages} == {paper}
        assert [c for p in pages for c in clashes(p)] == []
        assert [p.number for p in pages] == list(range(1, len(pages) + 1))
        text = words(pages)
        for asked in ("what it held", "seam to seam", "tape around", "Wall at four clocks", "long seam", "bow"):
            assert asked in text
        assert "can call a vessel safe" in text
        assert "HOLD" in pages[0].stamp.hold
        assert pdf(pages, "card").startswith(b"%PDF")


def test_the_survey_of_a_job_states_what_was_said_and_leaves_boxes():
    pit = standing_pits.pit("worked")
    text = words(SURVEY.make(pit, LETTER.landscape()))
    assert pit.tape.length(pit.vessel.around) in text
    assert "bottom boss" in text
    assert "A. Clerk" in text


def test_the_order_sheet_has_every_step_and_hold():
    pit = standing_pits.pit("worked")
    text = words(ORDER.make(pit, TABLOID.landscape()))
    order = build_order(pit)
    for step in order.steps:
        for hold in step.holds:
            assert hold.want in text
        for part in step.parts:
            assert re.search(rf"\b{part.mark}\b", text)
    assert "LAST CHANCE" in text
    assert f"{order.alone:.0f}" in text


def test_the_weld_sheet_adds_up():
    pit = standing_pits.pit("left pipe on saddles")
    text = words(WELDS.make(pit, TABLOID.landscape()))
    welds = weld_list(pit)
    for weld in welds:
        assert all(word in text for word in weld.name.split())
    assert pit.tape.mass(totals(welds).wire, 2) in text
    assert str(sum(w.count for w in welds)) in text


def test_the_nest_sheet_shows_every_part_as_often_as_it_is_cut():
    pit = standing_pits.pit("left pipe on saddles")
    for nest in plan_plates(pit):
        assert nest.plan is not None
        for sheet in nest.plan.sheets:
            drawing = nests.nest_view(pit, nest, sheet)
            said = [getattr(p, "text", "") for p in drawing.primitives]
            for mark in {one.mark for one in sheet.parts}:
                assert said.count(mark) == sum(one.mark == mark for one in sheet.parts)
    text = words(NESTS.make(pit, LETTER.landscape()))
    assert "keep it" in text


def test_the_customer_reads_the_price_but_not_the_margin():
    pit = standing_pits.pit("worked")
    quote = price(pit)
    text = words(QUOTE.make(pit, LETTER.landscape()))
    assert "margin" not in text
    assert pit.tape.money(round(quote.price / 50.0) * 50.0) in text
    shop = words(PRICE.make(pit, LETTER.landscape()))
    assert pit.tape.money(quote.margin) in shop
    assert QUOTE not in SHEETS
    assert PRICE not in SHEETS


def test_the_placard_says_what_it_weighs_and_where_to_pick_it_up():
    pit = standing_pits.pit("worked")
    text = words(PLACARD.make(pit, LETTER.landscape()))
    empty = pit.balance["empty"]
    assert pit.tape.mass(empty.mass) in text
    assert pit.tape.length(pit.vessel.station(empty.centre[0])) in text
    for x in pit.base.pockets:
        assert pit.tape.length(pit.base.rail_x1 - x) in text
    assert "never for lifting" in text


def test_lettering_is_never_smaller_than_a_cheap_printer_can_show():
    """1.6 mm is what the stamp's own labels are; work is at least 1.8 mm high."""
    pit = standing_pits.pit("left forty-one")
    for maker in MAKERS:
        for page in maker.make(pit, LETTER.landscape()):
            small = [i for i in page.ink if isinstance(i, Words) and i.height < 1.6 - 1e-9]
            assert small == []
