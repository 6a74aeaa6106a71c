"""The fire sheet: its figures are the outcome's, its pictures are to scale, and it reads clear on every paper."""

import math
from functools import cache
from itertools import pairwise

import numpy as np
import pytest

import workbench
from pitwright.fire.from_pit import fire_case
from pitwright.fire.of_pit import bands_of, report_of, warm_up_of
from pitwright.fire.result import NoFire, SteadyFire
from pitwright.fire.steady import steady
from pitwright.layout.pit import solve
from pitwright.sheets.clash import clashes
from pitwright.sheets.ink import Patch, Stroke, Words, extent
from pitwright.sheets.page import numbered
from pitwright.sheets.paper import A3, A4, LETTER, TABLOID
from pitwright.sheets.pdf import pdf
from pitwright.sheets.planset import SHEETS
from pitwright.sheets.shapes import Fill
from pitwright.sheets.views.fire import CODE, FIRE, choke_table, draw_diagram, fire_sheets, heat_flow
from pitwright.sheets.views.fire_charts import Axis, Curve, Curves, Flow, Step, Stream, Waterfall
from pitwright.sheets.views.fire_section import (
    degree_steps,
    field_at,
    marks_along,
    section_view,
    shades_of,
    shown_at,
)
from pitwright.tape import DEGREE_F, ZERO_FAHRENHEIT, Tape, range_text
from pitwright.whole import all_findings

PAPERS = tuple(p.landscape() for p in (LETTER, TABLOID, A4, A3))
WAYS = {
    "plain": {"order": {"levels": [{"above": "8"}], "people": 60}},
    "reverse, left hand": {"order": {"flow": "reverse", "firebox_side": "left"}},
    "metric box, end stack": {
        "job": {"units": "metric"},
        "vessel": {"around": 2043, "wall": 5, "length": 1750},
        "order": {"grate_height": 900},
        "proportions": {
            "firebox": {"shape": "box", "size": 500, "height": 520},
            "throat": {"shape": "segment"},
            "stack": {"profile": "168.3 x 4.5 mm pipe", "place": "end"},
        },
    },
    "dished, double wall": {
        "vessel": {"around": "117 3/4", "length": "101"},
        "order": {"grate_height": "40", "firebox_side": "left"},
        "proportions": {"firebox": {"size": "28", "joint": "dished", "double_wall": "1 1/2"}},
    },
    "will not burn": {"proportions": {"firebox": {"inlet_share": 0.002}}},
}
BURNING = [name for name in WAYS if name != "will not burn"]


@cache
def pit(name):
    return solve(workbench.job(WAYS[name]))


@cache
def pages(name, paper):
    return numbered(*fire_sheets(pit(name), paper))


def words(some):
    return " ".join(i.text for page in some for i in page.ink if isinstance(i, Words))


def burning(name="plain"):
    found = report_of(pit(name)).outcome
    assert isinstance(found, SteadyFire)
    return found


# ---------------------------------------------------------------- the sheet


@pytest.mark.parametrize("paper", PAPERS, ids=lambda p: p.name)
@pytest.mark.parametrize("name", WAYS)
def test_it_reads_clear_on_every_paper(name, paper):
    made = pages(name, paper)
    assert [c for page in made for c in clashes(page)] == []
    assert len(made) <= 6
    assert len(pdf(made)) > 10_000


def test_it_is_in_the_plan_set():
    assert FIRE in SHEETS
    assert FIRE.make(pit("plain"), PAPERS[1])[0].stamp.title.startswith(CODE)


@pytest.mark.parametrize("name", BURNING)
def test_its_figures_are_the_outcome_s(name):
    one, fire = pit(name), burning(name)
    tape, bands = one.tape, bands_of(one)
    text = words(pages(name, PAPERS[1]))
    alone = steady(fire_case(one))
    assert alone.wood == pytest.approx(fire.wood, rel=1e-9)
    spread = bands.band("spread")
    for said in (
        tape.mass_rate(alone.wood),
        tape.temperature_difference(alone.spread),
        tape.pressure_draft(alone.draught),
        tape.temperature(alone.fire_gas),
        tape.temperature(alone.stack_out),
        range_text(spread.low, spread.high, tape.temperature_difference),
        tape.power(alone.heat, 2),
        f"{bands.runs} runs",
        tape.temperature_difference(one.job.order.spread),
    ):
        assert said in text, said


def test_findings_and_cautions_come_with_change_and_source():
    one = pit("plain")
    text = words(pages("plain", PAPERS[1]))
    squeezed = text.replace(" ", "")
    for finding in report_of(one).findings:
        assert finding.remedy.split(".")[0].replace(" ", "")[:30] in squeezed
    for source in ("OSHA", "NFPA 211", "ASTM C1055", "USDA", "common practice"):
        assert source.replace(" ", "") in squeezed
    assert {f.code for f in report_of(one).findings} <= {f.code for f in all_findings(one)}


def test_a_pit_that_will_not_burn_gets_the_reason_and_the_way_out():
    found = report_of(pit("will not burn")).outcome
    assert isinstance(found, NoFire)
    text = words(pages("will not burn", PAPERS[0])).replace(" ", "")
    tape = pit("will not burn").tape
    assert found.text.replace(" ", "") in text
    assert tape.mass_rate(found.wood_need).replace(" ", "") in text
    assert "Maketheairinlet" in text
    assert "carbonmonoxide" in text.lower()
    assert "Settingsforthefirstburn" not in text
    assert any(f.severity == "stop" for f in all_findings(pit("will not burn")))


# ---------------------------------------------------------------- the section


@pytest.mark.parametrize("name", BURNING)
def test_the_section_shades_what_the_gas_is(name):
    """The tone at the middle of every box of the chamber is the step of the temperature there."""
    one, fire = pit(name), burning(name)
    shades = shades_of(one, fire)
    drawing = section_view(one, fire, shades)
    hand, length = one.vessel.hand, one.vessel.length
    boxes = [(*p.outline.bounds(), p.tone) for p in drawing.primitives if isinstance(p, Fill)]
    for x in np.linspace(0.08, 0.92, 9) * length:
        for up in (-0.6, -0.35, 0.2, 0.6):
            z = one.vessel.centre_z + up * one.vessel.inner_radius
            at = -hand * x
            over = [b for b in boxes if b[0] <= at <= b[2] and b[1] <= z <= b[3]]
            assert over
            near = (-length / 72.0, 0.0, length / 72.0)
            middle = (over[-1][1] + over[-1][3]) / 2.0
            steps = {shades.step(shown_at(one, fire, x + d, middle)) for d in near}
            assert over[-1][4] in {shades.tone(step) for step in steps}


def test_the_field_is_the_layers_at_their_middles():
    one, fire = pit("plain"), burning()
    vessel, grate = one.vessel, one.grates.levels[0].z
    bottom, top = vessel.centre_z - vessel.inner_radius, vessel.centre_z + vessel.inner_radius
    for k in (0, 5, 15):
        assert field_at(one, fire, fire.x[k], (bottom + grate) / 2.0) == pytest.approx(fire.lower[k])
        assert field_at(one, fire, fire.x[k], (grate + top) / 2.0) == pytest.approx(fire.upper[k])


def test_shades_rise_and_the_legend_names_their_limits():
    one, fire = pit("plain"), burning()
    shades = shades_of(one, fire)
    tones = [shades.tone(i) for i in range(len(shades.limits) + 1)]
    assert tones == sorted(tones)
    assert min(b - a for a, b in pairwise(tones)) > 0.05  # told apart on a cheap printer
    assert shades.step(shades.limits[0] - 1.0) == 0
    assert shades.step(shades.limits[-1]) == len(shades.limits)
    legend = shades.legend(one.tape)
    assert len(legend.tones) == len(legend.limits) + 1
    drawn = [i.text for i in legend.draw(0.0, 0.0, 90.0) if isinstance(i, Words)]
    assert set(legend.limits) <= set(drawn)


def test_degree_steps_are_round_in_the_shop_s_own_degrees():
    inch = degree_steps(Tape.for_system("inch"), 370.0, 430.0)
    shown = [(s - ZERO_FAHRENHEIT) / DEGREE_F for s in inch]
    assert all(abs(v / 25.0 - round(v / 25.0)) < 1e-9 or abs(v / 10.0 - round(v / 10.0)) < 1e-9 for v in shown)
    assert inch[0] <= 370.0
    assert inch[-1] >= 430.0
    metric = degree_steps(Tape.for_system("metric"), 370.0, 430.0)
    assert all(abs((s - 273.15) / 5.0 - round((s - 273.15) / 5.0)) < 1e-9 for s in metric)


def test_five_marks_lie_along_the_grate():
    fire = burning()
    marks = marks_along(fire)
    assert len(marks) == 5
    assert marks[0] == fire.grates[0].x[0]
    assert marks[-1] == fire.grates[0].x[-1]
    assert np.ptp(np.diff(marks)) == pytest.approx(0.0, abs=1e-12)


# ---------------------------------------------------------------- charts


def patches(ink):
    return [i for i in ink if isinstance(i, Patch)]


def area(path):
    p = path.points
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(p, (*p[1:], p[0])))) / 2.0


def test_the_bars_of_the_draw_diagram_are_as_long_as_the_pressures():
    fire = burning()
    diagram = draw_diagram(fire, pit("plain").tape)
    ink = diagram.draw(10.0, 20.0, 120.0)
    bars = patches(ink)
    assert len(bars) == len(fire.draw)
    sizes = [s.made or s.spent for s in fire.draw]
    wide = [extent((b,))[2] - extent((b,))[0] for b in bars]
    scale = wide[0] / sizes[0]
    for size, width in zip(sizes, wide, strict=True):
        assert width == pytest.approx(max(size * scale, 0.25), rel=1e-6)
    assert sum(s.made for s in diagram.steps) == pytest.approx(sum(s.spent for s in diagram.steps), rel=1e-6)
    assert sum(s.made for s in diagram.steps) == pytest.approx(fire.draught)


def test_the_bands_of_the_heat_flow_are_as_wide_as_their_shares():
    fire = burning()
    flow = heat_flow(fire, pit("plain").tape)
    assert sum(s.share for s in flow.streams) == pytest.approx(1.0, abs=0.01)
    trunk, *ribbons = patches(flow.draw(0.0, 0.0, 100.0))
    for stream, ribbon in zip(flow.streams, ribbons, strict=True):
        points = ribbon.paths[0].points
        n = len(points) // 2
        for a, b in zip(points[:n], reversed(points[n:])):
            assert b[1] - a[1] == pytest.approx(stream.share * flow.tall)
            assert a[0] == b[0]
    x0, y0, x1, y1 = extent((trunk,))
    assert y1 - y0 == pytest.approx(flow.tall)
    assert x1 > x0


def test_a_curve_runs_through_its_points_and_its_band_lies_round_it():
    up = Axis((0.0, 10.0, 20.0), str, "up")
    across = Axis((0.0, 1.0, 2.0), str, "along")
    chart = Curves(
        "Try", (Curve(((0.0, 5.0), (2.0, 15.0)), "accent", "it"),), across=across, up=up,
        band=((0.0, 0.0, 10.0), (2.0, 10.0, 20.0)), band_name="band", levels=((10.0, "limit"),), marks=((1.0, 10.0),),
    )  # fmt: skip
    ink = chart.draw(0.0, 0.0, 100.0)
    (curve,) = [i for i in ink if isinstance(i, Stroke) and i.role == "accent" and len(i.path.points) == 2 and i.path.points[0][1] != i.path.points[1][1]]  # fmt: skip
    (x0, y0), (x1, y1) = curve.path.points
    band = patches(ink)[0]
    assert area(band.paths[0]) == pytest.approx((x1 - x0) * 0.5 * chart.tall)
    assert y0 - y1 == pytest.approx(chart.tall * 0.5)
    assert {"it", "band", "limit", "1"} <= {i.text for i in ink if isinstance(i, Words)}
    box = extent(ink)
    assert box[3] <= chart.height(100.0) + 0.5
    assert box[2] <= 100.5
    assert chart.split(100.0, chart.height(100.0) - 1.0) == (None, chart)


def test_small_pictures_keep_inside_their_room():
    for block in (
        Waterfall("Draw", (Step("inlet", 0.0, 2.0, "2 Pa"), Step("rise", 2.0, 0.0, "2 Pa"))),
        Flow("Heat", "3 kg/h", (Stream("skin", 0.6, "60 %"), Stream("smoke", 0.4, "40 %"))),
    ):
        for width in (80.0, 140.0):
            x0, _, x1, y1 = extent(block.draw(5.0, 7.0, width))
            assert x0 >= 5.0 - 0.3
            assert x1 <= 5.0 + width + 0.3
            assert y1 <= 7.0 + block.height(width) + 0.3
            assert block.split(width, block.height(width))[0] is block


def test_the_choke_table_has_the_size_either_side():
    one, fire = pit("plain"), burning()
    rows = report_of(one).chokes
    table = choke_table(rows, fire, one.tape)
    assert len(table.rows) == 1 + 3 * len(rows)
    for i, row in enumerate(rows):
        head, smaller, larger = table.rows[1 + 3 * i : 4 + 3 * i]
        assert head[0] == row.name
        assert smaller[3] == one.tape.temperature_difference(row.smaller.spread)
        assert larger[4] == one.tape.mass_rate(row.larger.wood)
        assert larger[5] == one.tape.mass_rate(row.larger.air)
    costs = [r.spent for r in rows[:-1]]
    assert costs == sorted(costs, reverse=True)


def test_what_is_worked_out_is_kept():
    one = pit("plain")
    assert report_of(one) is report_of(one)
    assert bands_of(one) is bands_of(one)
    assert warm_up_of(one) is warm_up_of(one)
    assert bands_of(pit("will not burn")) is None
    assert warm_up_of(pit("will not burn")) is None


def test_warm_up_is_told_with_its_wood():
    one = pit("plain")
    warm = warm_up_of(one)
    assert math.isfinite(warm.ready)
    text = words(pages("plain", PAPERS[1]))
    assert f"ready after {warm.ready / 60.0:.0f} min and {one.tape.mass(warm.ready_wood, 2)} of wood" in text
