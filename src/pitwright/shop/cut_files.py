"""The cut list as files: CSV and a workbook, in the shop's words, the same bytes every time."""

from __future__ import annotations

import csv
import datetime
import io
import math
import zipfile
from collections.abc import Sequence
from typing import Any

from pitwright.layout.model import Pit
from pitwright.masses import mass_of
from pitwright.parts import Bought, Head, Part, Plate, Shell
from pitwright.saw import SawEnd
from pitwright.shop.cuts import BarCut, CutPlan, bar_cuts, cut_plan
from pitwright.tape import INCH, LB, MILLIMETRE

_WHEN = (1980, 1, 1, 0, 0, 0)  # what a zip file can say at the earliest: the same for every pack
_CORE = "docProps/core.xml"


def headings(pit: Pit) -> tuple[str, ...]:
    """Column heads; the last five are plain numbers for a machine to add up."""
    length, mass = ("in", "lb") if pit.tape.inch else ("mm", "kg")
    return (
        "mark",
        "quantity",
        "piece",
        "stock",
        "long point",
        "short point",
        "left cut, degrees off square",
        "right cut, degrees off square",
        "blade tilt left, degrees",
        "blade tilt right, degrees",
        "mark face",
        "roll",
        "cope",
        "note",
        "weight each",
        "weight all",
        "state",
        f"long point, {length}",
        f"short point, {length}",
        f"size, {length}",
        f"weight each, {mass}",
        f"weight all, {mass}",
    )


Row = tuple[str | int | float, ...]


def rows(pit: Pit) -> tuple[Row, ...]:
    """Every piece of the pit once: the sawn ones with their settings, the others with their size."""
    cuts: dict[str, list[BarCut]] = {}
    for cut in bar_cuts(pit):
        cuts.setdefault(cut.part.mark, []).append(cut)
    out: list[Row] = []
    for part in pit.parts:
        found = cuts.get(part.mark)
        if found:
            out.extend(_sawn(pit, cut) for cut in found)
        else:
            out.append(_other(pit, part))
    return tuple(out)


def _sawn(pit: Pit, cut: BarCut) -> Row:
    tape, saw, each = pit.tape, cut.cut, mass_of(cut.part).mass
    roll = {True: "roll 180 between the cuts", False: "do not roll"}[saw.roll]
    if saw.shape in ("square", "one end mitred"):
        roll = "-"
    copes = [_cope(pit, end, name) for end, name in ((saw.start, "left"), (saw.finish, "right")) if end.kind == "cope"]
    return (
        cut.mark,
        cut.quantity,
        cut.part.name,
        cut.part.stock,
        tape.length(saw.long_point),
        tape.length(saw.short_point),
        _degrees(saw.start.mitre),
        _degrees(saw.finish.mitre),
        _degrees(saw.start.tilt),
        _degrees(saw.finish.tilt),
        saw.face if saw.shape != "square" else "-",
        roll,
        "; ".join(copes) or "-",
        "; ".join(cut.part.notes),
        tape.mass(each),
        tape.mass(each * cut.quantity),
        cut.part.state,
        _plain(pit, saw.long_point),
        _plain(pit, saw.short_point),
        "",
        _plain_mass(pit, each),
        _plain_mass(pit, each * cut.quantity),
    )


def _other(pit: Pit, part: Part) -> Row:
    tape, each = pit.tape, mass_of(part).mass
    size = " x ".join(tape.bare(v) for v in _sizes(part)[:-1]) + "".join(
        f" x {_plain(pit, v)}" for v in _sizes(part)[-1:]
    )
    notes = list(part.notes)
    if not pit.cleared and part.stock == "of the vessel":
        size = "held back"
    if part.assumed:
        notes.insert(0, "weight assumed")
    blank = ("-",) * 9
    return (
        part.mark,
        part.quantity,
        part.name,
        part.stock,
        *blank,
        "; ".join(notes),
        tape.mass(each),
        tape.mass(each * part.quantity),
        part.state,
        "",
        "",
        size,
        _plain_mass(pit, each),
        _plain_mass(pit, each * part.quantity),
    )


def _sizes(part: Part) -> tuple[float, ...]:
    """Length, width and thickness of a piece that is not sawn [m]; none of a bought one."""
    shape = part.shape
    if isinstance(shape, Plate):
        x0, y0, x1, y1 = shape.outline.bounds()
        return (*sorted((x1 - x0, y1 - y0), reverse=True), shape.thickness)
    if isinstance(shape, Shell):
        return (shape.length, shape.outer_radius * (shape.clock1 - shape.clock0), shape.wall)
    if isinstance(shape, Head):
        return (2.0 * shape.outer_radius, shape.depth, shape.wall)
    assert isinstance(shape, Bought)
    return ()


def _degrees(angle: float) -> float:
    return abs(round(math.degrees(angle), 1))


def _cope(pit: Pit, end: SawEnd, name: str) -> str:
    tape = pit.tape
    if not end.cope_radius:
        return f"{name} end to the template"
    return f"{name} end to {tape.length(end.cope_radius)} radius, {tape.length(end.cope_depth)} deep"


def _plain(pit: Pit, length: float) -> float:
    return round(length / INCH, 4) if pit.tape.inch else round(length / MILLIMETRE, 2)


def _plain_mass(pit: Pit, mass: float) -> float:
    return round(mass / LB, 3) if pit.tape.inch else round(mass, 3)


# ---------------------------------------------------------------- files


def cut_list_csv(pit: Pit) -> bytes:
    """The cut list as CSV (UTF-8 with its mark, so that a spreadsheet opens it rightly)."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(headings(pit))
    writer.writerows(rows(pit))
    return text.getvalue().encode("utf-8-sig")


def cut_list_xlsx(pit: Pit) -> bytes:
    """The cut list as a workbook: pieces, sticks in cut order, and what to buy."""
    from openpyxl import Workbook

    book = Workbook()
    plan = cut_plan(pit)
    _fill(book.active, "Cut list", headings(pit), rows(pit))
    _fill(book.create_sheet(), "Sticks", STICK_HEADS, stick_rows(pit, plan))
    _fill(book.create_sheet(), "Buy", BUY_HEADS, buy_rows(pit, plan))
    raw = io.BytesIO()
    book.save(raw)
    return _repeatable(raw.getvalue())


STICK_HEADS = (
    "stock",
    "stick",
    "length",
    "cut",
    "measure to",
    "degrees off square",
    "blade tilt, degrees",
    "roll before",
    "finishes",
    "starts",
)


def stick_rows(pit: Pit, plan: CutPlan) -> tuple[Row, ...]:
    """Every cut on every stick, in order."""
    tape = pit.tape
    out: list[Row] = []
    for stock in plan.stocks:
        for stick in stock.plan.sticks if stock.plan is not None else ():
            for cut in stick.cuts:
                roll = "roll" if cut.roll else ""
                angles = (_degrees(cut.angle), _degrees(cut.tilt))
                at = tape.length(cut.at)
                out.append(
                    (stock.stock, stick.number, stick.label, cut.number, at, *angles, roll, cut.finishes, cut.starts)
                )
            drop = f"{tape.length(stick.drop)} drop" + (", keep" if stick.keep else "")
            out.append((stock.stock, stick.number, stick.label, "", drop, "", "", "", "", ""))
    return tuple(out)


BUY_HEADS = ("stock", "length", "how many", "price each", "cost", "from")


def buy_rows(pit: Pit, plan: CutPlan) -> tuple[Row, ...]:
    """Sticks to buy, drops to take from the rack, and pipe bought cut to length."""
    out: list[Row] = []
    for stock in plan.stocks:
        if stock.plan is None:
            out.append((stock.stock, stock.problem, "", "", "", ""))
            continue
        for line in (*stock.plan.from_rack, *stock.plan.buy):
            price, cost = (round(v, 2) if v else "" for v in (line.price, line.cost))
            out.append((stock.stock, line.label, line.count, price, cost, line.store or "store"))
    for cut in plan.to_length:
        long = pit.tape.length(cut.cut.tip_to_tip)
        out.append((cut.part.stock, f"cut to {long}", cut.quantity, "", "", "store"))
    return tuple(out)


def _fill(sheet: Any, title: str, heads: Sequence[str], lines: Sequence[Row]) -> None:
    from openpyxl.styles import Alignment, Font

    sheet.title = title
    for r, line in enumerate((tuple(heads), *lines), start=1):
        for c, value in enumerate(line, start=1):
            cell = sheet.cell(row=r, column=c, value=value)
            if isinstance(value, str):
                cell.data_type = "s"  # a text that starts with = is no formula
    for c in range(1, len(heads) + 1):
        sheet.cell(row=1, column=c).font = Font(bold=True)
        sheet.cell(row=1, column=c).alignment = Alignment(wrap_text=True, vertical="top")
        widest = max((len(str(line[c - 1])) for line in lines), default=0)
        sheet.column_dimensions[sheet.cell(row=1, column=c).column_letter].width = min(max(9, widest + 2), 44)
    sheet.freeze_panes = "B2"
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.fitToWidth = 1
    sheet.page_setup.fitToHeight = 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.print_title_rows = "1:1"


def _repeatable(data: bytes) -> bytes:
    """The same workbook with fixed dates, so that the same pit gives the same bytes."""
    from openpyxl.packaging.core import DocumentProperties
    from openpyxl.xml.functions import tostring

    when = datetime.datetime(*_WHEN)
    core = tostring(DocumentProperties(creator="Pitwright", created=when, modified=when).to_tree())
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            info = zipfile.ZipInfo(name, _WHEN)
            info.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(info, core if name == _CORE else old.read(name))
    return out.getvalue()
