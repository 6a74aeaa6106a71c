"""Everything the shop takes away from one job, written whole or not at all, piece by piece."""

from __future__ import annotations

import dataclasses
import difflib
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from pitwright.errors import JobError, OutputError
from pitwright.job.file import write_whole
from pitwright.layout.model import Pit
from pitwright.layout.standing import standing_parts

if TYPE_CHECKING:
    from pitwright.sheets.page import Page

Files = dict[str, bytes]


@dataclass(frozen=True, slots=True, kw_only=True)
class Booklet:
    """Printed pages that make one PDF; a screen can show them one by one."""

    pages: tuple[Page, ...]
    title: str

    def pdf(self) -> bytes:
        """All pages as one PDF."""
        from pitwright.sheets.pdf import pdf

        return pdf(self.pages, self.title)


Made = Mapping[str, "bytes | Booklet"]
"""Files of a piece by name: their bytes, or the pages of those that are printed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackPiece:
    """One piece of the pack: its name on the command line, what it is, and how its files are made for a paper size."""

    name: str
    what: str
    make: Callable[[Pit, str], Made]


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What became of one file (or of a piece that could not be made)."""

    name: str
    path: Path
    what: str
    problem: str = ""


PICTURE_SCALE = 0.1
PICTURE_EDGE = 4.0  # mm round a picture
PAPERS = ("letter", "tabloid", "A4", "A3")


def default_paper(pit: Pit) -> str:
    """The paper a shop with these units has for drawings."""
    return "tabloid" if pit.tape.inch else "A3"


def _plan_set(pit: Pit, paper: str) -> Made:
    from pitwright.layout.pit import as_drawn
    from pitwright.sheets import paper as papers
    from pitwright.sheets.planset import dead_sheets, plan_set
    from pitwright.solid.hidden import hidden_lines
    from pitwright.solid.view import ISOMETRIC
    from pitwright.whole import with_all_findings

    sizes = {"letter": papers.LETTER, "tabloid": papers.TABLOID, "A4": papers.A4, "A3": papers.A3}
    size = sizes[paper].landscape()
    picture = hidden_lines(standing_parts(pit), ISOMETRIC, hidden=False)
    if pit.revision != pit.job.job.revision:
        pit = dataclasses.replace(pit, dead_sheets=dead_sheets(as_drawn(pit.job), pit, size))
    pages = plan_set(with_all_findings(pit), size, [line.points for line in picture.visible])
    return {"plan-set.pdf": Booklet(pages=pages, title=pit.job.job.name)}


def _cut_list(pit: Pit, paper: str) -> Files:
    from pitwright.shop.cut_files import cut_list_csv, cut_list_xlsx

    return {"cut-list.csv": cut_list_csv(pit), "cut-list.xlsx": cut_list_xlsx(pit)}


def _plates(pit: Pit, paper: str) -> Files:
    from pitwright.sheets.dxf import dxf_bytes
    from pitwright.sheets.plates import flat_parts, nest_drawing, nest_name, plate_drawing
    from pitwright.shop.nesting import plan_plates

    unit: Literal["mm", "in"] = "in" if pit.tape.inch else "mm"
    single = {
        f"plates/{part.mark}-{part.name.replace(' ', '-')}.dxf": dxf_bytes(plate_drawing(pit, part, outline), unit)
        for part, outline in flat_parts(pit)
    }
    nested = {
        f"plates/{nest_name(nest, sheet)}.dxf": dxf_bytes(nest_drawing(pit, nest, sheet), unit)
        for nest in plan_plates(pit)
        for sheet in (nest.plan.sheets if nest.plan is not None else ())
    }
    return single | nested


def _quote(pit: Pit, paper: str) -> Made:
    from pitwright.sheets.page import numbered
    from pitwright.sheets.paper import A4, LETTER
    from pitwright.sheets.views.quote import PRICE, QUOTE

    office = (LETTER if pit.tape.inch else A4).landscape()
    return {
        f"{name}.pdf": Booklet(pages=numbered(*maker.make(pit, office)), title=f"{pit.job.job.name}: {maker.title}")
        for name, maker in (("quote", QUOTE), ("price-for-the-shop", PRICE))
    }


def _model(pit: Pit, paper: str) -> Files:
    from pitwright.solid.glb import glb_bytes

    return {"pit.glb": glb_bytes(standing_parts(pit))}


def _pictures(pit: Pit, paper: str) -> Files:
    from pitwright.sheets.ink import extent
    from pitwright.sheets.laying import lay
    from pitwright.sheets.sketch import Sketch
    from pitwright.sheets.svg import svg
    from pitwright.solid.hidden import hidden_lines
    from pitwright.solid.view import FIRE_END, ISOMETRIC, PLAN, SIDE, STACK_END

    views = {"side": SIDE, "fire-end": FIRE_END, "stack-end": STACK_END, "plan": PLAN, "finished": ISOMETRIC}
    out: Files = {}
    for name, view in views.items():
        picture = hidden_lines(standing_parts(pit), view, hidden=name != "finished")
        sketch = Sketch()
        for role, lines in (("hidden", picture.hidden), ("outline", picture.visible)):
            for line in lines:
                sketch.lines(line.points, "hidden" if role == "hidden" else "outline", about=line.mark)
        drawing = sketch.drawing()
        x0, y0, x1, y1 = extent(lay(drawing, PICTURE_SCALE))
        ink = lay(drawing, PICTURE_SCALE, (PICTURE_EDGE - x0, PICTURE_EDGE - y0))
        out[f"pictures/{name}.svg"] = svg(ink, x1 - x0 + 2.0 * PICTURE_EDGE, y1 - y0 + 2.0 * PICTURE_EDGE).encode()
    return out


def _step(pit: Pit, paper: str) -> Files:
    from pitwright.solid.step import write_step

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "pit.step"
        write_step(standing_parts(pit), path, name=pit.job.job.name)
        return {"pit.step": path.read_bytes()}


def _record(pit: Pit, paper: str) -> Files:
    from pitwright.record import record_bytes
    from pitwright.whole import with_all_findings

    return {"pit.json": record_bytes(with_all_findings(pit))}


def _templates(pit: Pit, paper: str) -> Made:
    from pitwright.sheets.templates.issue import template_pages, template_paper

    pages = template_pages(pit, template_paper(pit, paper))
    return {"templates.pdf": Booklet(pages=tuple(pages), title=pit.job.job.name)}


def _roll(pit: Pit, paper: str) -> Files:
    from pitwright.sheets.templates.issue import template_roll

    return {f"roll/{name}": data for files in template_roll(pit).values() for name, data in files.items()}


PIECES: tuple[PackPiece, ...] = (
    PackPiece(name="plan-set", what="drawings, table layout, wrap map, lists, cautions", make=_plan_set),
    PackPiece(name="cut-list", what="every piece with its saw settings, as a table", make=_cut_list),
    PackPiece(
        name="plates", what="flat parts for the cutting table: one DXF a part and one a nested sheet", make=_plates
    ),
    PackPiece(name="templates", what="full-size templates, tiled on office paper", make=_templates),
    PackPiece(name="roll", what="the same in one piece each for a roll plotter (PDF, SVG, DXF)", make=_roll),
    PackPiece(name="quote", what="quote for the customer; price by stage for the shop", make=_quote),
    PackPiece(name="model", what="the pit as a solid model for a viewer", make=_model),
    PackPiece(
        name="pictures", what="hidden-line pictures: side, ends, plan and the finished pit (SVG)", make=_pictures
    ),
    PackPiece(name="record", what="figures, reasons and pieces for other programs (JSON)", make=_record),
    PackPiece(name="step", what="the pit as exact solids for a CAD program (extra)", make=_step),
)


def chosen(only: Sequence[str] | None) -> tuple[PackPiece, ...]:
    """The pieces named, in pack order; all where none is named.

    Raises JobError for a name that is none.
    """
    if not only:
        return PIECES
    names = [p.name for p in PIECES]
    for name in only:
        if name not in names:
            near = difflib.get_close_matches(name, names, n=1, cutoff=0.4)
            raise JobError(
                "no such piece of the pack",
                field="--only",
                value=name,
                allowed=", ".join(names),
                remedy=f"Did you mean {near[0]}?" if near else "Pick from these.",
            )
    return tuple(p for p in PIECES if p.name in only)


def whole_files(made: Made) -> Files:
    """Every file as bytes, printed pages set in type.

    Raises OutputError for a booklet without pages.
    """
    return {name: data.pdf() if isinstance(data, Booklet) else data for name, data in made.items()}


def write_pack(
    pit: Pit,
    folder: Path,
    pieces: Sequence[PackPiece] = PIECES,
    step: Callable[[str], None] = lambda name: None,
    paper: str = "",
) -> tuple[Written, ...]:
    """Write the pieces into a folder. A piece that cannot be made is told and the rest goes on.

    step   called with the name of each piece when it is done
    paper  one of PAPERS; the usual one for the job's units where empty
    Raises OutputError where the folder cannot be written.
    """
    out: list[Written] = []
    for piece in pieces:
        try:
            files = whole_files(piece.make(pit, paper or default_paper(pit)))
        except OutputError as problem:
            out.append(Written(name=piece.name, path=folder, what=piece.what, problem=str(problem)))
            step(piece.name)
            continue
        for name, data in files.items():
            write_whole(folder / name, data)
        # files in the pack's own folder are told one by one, a folder of files as a folder
        told = sorted({folder / (name if "/" not in name else name.split("/", 1)[0]) for name in files})
        out += [Written(name=piece.name, path=path, what=piece.what) for path in told]
        step(piece.name)
    return tuple(out)
