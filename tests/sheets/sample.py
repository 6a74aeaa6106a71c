"""A sample sheet of our own: a flanged drum on a stand, with every kind of dimension, a table and a title block."""

from __future__ import annotations

import math

from pitwright.parts import Outline
from pitwright.sheets.blocks import BigFigure, BigFigures, Block, Notes, Pairs
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.page import Board, Page, flow, numbered
from pitwright.sheets.paper import Paper
from pitwright.sheets.sketch import Sketch
from pitwright.sheets.stamp import Stamp
from pitwright.sheets.table import Column, Table
from pitwright.tape import Tape

TAPE = Tape.for_system("inch")
STAMP = Stamp(
    shop="North Yard Fabrication",
    job="Demo drum for the kit",
    title="Flanged drum: side and end",
    revision="B",
    date="2031-05-04",
    who="R. Quill",
    note="All sizes to the outside of steel unless said. Pull the tape from the datum, once.",
    key=("drum outside", "30-1/16″"),
    check=("diagonal across flanges", "57-5/8″"),
    hold="HOLD TAG: emptied and cleared by name, date and signature before any hot work",
)


def side_view() -> Drawing:
    """The drum from the side: length 48 in, outside 30 in, flanges 36 in."""
    inch = 0.0254
    s = Sketch(length=TAPE.length, angle=TAPE.angle)
    long, r, flange, thick = 48 * inch, 15 * inch, 18 * inch, 1.5 * inch
    s.fill(Outline.rectangle(0, -flange, thick, flange), 0.14)
    s.fill(Outline.rectangle(long - thick, -flange, long, flange), 0.14)
    with s.about("drum.length", "Length over flanges"):
        s.rectangle(0, -flange, thick, flange)
        s.rectangle(long - thick, -flange, long, flange)
        s.line((thick, r), (long - thick, r))
        s.line((thick, -r), (long - thick, -r))
    s.line((thick, r - 0.006), (long - thick, r - 0.006), "hidden")
    s.line((thick, -r + 0.006), (long - thick, -r + 0.006), "hidden")
    s.line((-0.06, 0), (long + 0.06, 0), "centre")
    floor = -30 * inch
    s.line((-0.1, floor), (long + 0.1, floor), "ground")
    for x in (10 * inch, 38 * inch):
        s.rectangle(x - 0.03, floor, x + 0.03, -r, "outline")
        s.balloon((x, -22 * inch), "L1", toward=math.radians(40))
    s.rectangle(14 * inch, 0, 34 * inch, 9 * inch, "cut")
    s.line((24 * inch, -0.02), (24 * inch, r), "mark")
    s.lines(((14 * inch, 0.25), (34 * inch, 0.5), (36 * inch, 0.5)), "ghost")
    datum = (0.0, flange)
    s.running(datum, [(x * inch, r) for x in (6, 10, 10.5, 11, 14, 24, 34, 34.75, 38, 48)], "above")
    s.dim((0, 0), (long, 0), "below")
    s.dim((0, 0), (thick, 0), "below")
    s.dim((thick, 0), (10 * inch, 0), "below")
    s.dim((10 * inch, 0), (38 * inch, 0), "below")
    s.dim((38 * inch, 0), (long, 0), "below")
    s.dim((0, floor), (0, 0), "left")
    s.dim((0, floor), (0, flange), "left")
    s.dim((0, -r), (0, r), "left")
    s.dim_aligned((14 * inch, 0), (34 * inch, 9 * inch), gap=0)
    s.callout((24 * inch, r), "strike this line first\nand punch both ends", toward=math.radians(120))
    s.callout((14 * inch, 0), "kerf inside", toward=math.radians(-150))
    s.symbol((24 * inch, 0), "gravity", size=5)
    return s.drawing()


def end_view() -> Drawing:
    """The drum from its end with leaning legs."""
    inch = 0.0254
    s = Sketch(length=TAPE.length, angle=TAPE.angle)
    r, flange = 15 * inch, 18 * inch
    s.hatch(Outline.circle(0, 0, r, (Outline.circle(0, 0, r - 0.02),)))
    s.circle((0, 0), r)
    s.circle((0, 0), r - 0.02)
    s.circle((0, 0), flange, "hidden")
    s.centre_lines((0, 0), flange)
    floor = -30 * inch
    s.line((-0.55, floor), (0.55, floor), "ground")
    for sign in (-1, 1):
        top = (sign * r * math.sin(math.radians(45)), -r * math.cos(math.radians(45)))
        foot = (sign * 14 * inch, floor)
        s.line(top, foot, "outline")
        s.balloon(((top[0] + foot[0]) / 2, (top[1] + foot[1]) / 2), "L1", toward=math.radians(0 if sign > 0 else 180))
    foot = (14 * inch, floor)
    lean = math.atan2(floor + r * math.cos(math.radians(45)), 14 * inch - r * math.sin(math.radians(45)))
    s.dim_angle(foot, math.pi, -(math.pi - (lean + math.pi)), radius=22, within=0.35)
    s.dim_angle((0, 0), -math.pi / 2, math.radians(45), radius=20, within=0.2)
    s.dim_radius((0, 0), r, math.radians(25))
    s.dim_diameter((0, 0), flange, math.radians(140))
    s.dim((-14 * inch, floor), (14 * inch, floor), "below")
    s.dim((0, floor), (0, 0), "right")
    s.running((0.0, floor), [(0.0, floor + y * inch) for y in (2, 3, 3.5, 12, 30, 45)], "left")
    for k in range(8):
        s.symbol(
            (16.5 * inch * math.cos(k * math.pi / 4 + 0.39), 16.5 * inch * math.sin(k * math.pi / 4 + 0.39)), "punch"
        )
    s.callout((16.5 * inch * math.cos(0.39), 16.5 * inch * math.sin(0.39)), "8 holes Ø 5/8″ on Ø 33″", toward=0.9)
    return s.drawing()


def table(rows: int = 9) -> Table:
    """A cut list with a blank column."""
    return Table(
        (
            Column("mark", bold=True),
            Column("what"),
            Column("want", align="right", bold=True),
            Column("got", blank=True),
            Column("saw setting and which way round to hold the piece", wrap=True),
        ),
        tuple(
            (
                f"L{i + 1}",
                ("leg", "cross member", "rail")[i % 3],
                TAPE.length(0.5 + 0.0731 * i),
                "",
                "foot 11.3° off square, top 33.7°; roll it half a turn between the cuts"
                if i % 2
                else "square both ends",
            )
            for i in range(rows)
        ),
        title="Cut list",
        rules=(3, 6),
    )


def blocks(rows: int = 9) -> tuple[Block, ...]:
    """The lettering beside the views."""
    return (
        BigFigures(
            (
                BigFigure("grate from floor", "37-1/2″", "exact"),
                BigFigure("weight as it stands", "1,834 lb", "± 5 %"),
            ),
            across=2,
        ),
        Pairs(
            (
                ("bore of the drum", "29-1/2″"),
                ("around outside", "94-7/16″"),
                ("weight of one flange and its bolts", "212 lb"),
            ),
            title="Figures",
        ),
        table(rows),
        Notes(
            (
                "Vessels can hold fumes that burn or choke. This sheet does not say that one is safe: have it cleared.",
                "Stand clear of the swing of the lid; weights here are for two people and a hoist.",
            ),
            title="Cautions",
            numbered=True,
        ),
    )


def sample(paper: Paper, rows: int = 9, *, watermark: str = "NOT CLEARED: no cutting") -> tuple[Page, ...]:
    """The sample set on a paper: the drawn sheet, and sheets for what flows over."""

    def board() -> Board:
        return Board(paper, STAMP, watermark=watermark)

    if min(paper.width, paper.height) < 250.0:
        pages = []
        for title, drawing in (("Side", side_view()), ("End", end_view())):
            one = board()
            one.view(drawing, one.area, title=title)
            pages.append(one.page())
        return numbered(*pages, *flow(blocks(rows), board))
    first = board()
    text, views = first.area.right(first.area.width * 0.36, 8.0)
    first.views(views, [[("Side", side_view()), ("End", end_view())]])
    rest = first.column(blocks(rows), text)
    return numbered(first.page(), *flow(rest, board))
