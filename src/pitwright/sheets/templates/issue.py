"""All templates of a pit: as pages for office paper with a guide in front, or one file each for a roll plotter."""

from __future__ import annotations

from pitwright.layout.model import Pit
from pitwright.sheets.blocks import Block, Notes
from pitwright.sheets.dxf import dxf_bytes
from pitwright.sheets.page import Board, Page, numbered
from pitwright.sheets.paper import A4, LETTER, Paper
from pitwright.sheets.pdf import page_svg, pdf
from pitwright.sheets.stamp import Stamp
from pitwright.sheets.table import Column, Table
from pitwright.sheets.templates.doors import door_templates
from pitwright.sheets.templates.firebox import firebox_templates
from pitwright.sheets.templates.legs import leg_templates
from pitwright.sheets.templates.profile import profile_templates
from pitwright.sheets.templates.record import Template
from pitwright.sheets.templates.saddles import pad_templates, saddle_templates
from pitwright.sheets.templates.stack import stack_templates
from pitwright.sheets.templates.throat import throat_templates
from pitwright.sheets.templates.upright import upright_templates
from pitwright.sheets.tiles import one_piece, tile
from pitwright.sheets.views.common import hold_line, new_board, watermark
from pitwright.sheets.views.spread import spread
from pitwright.sheets.views.throat import window_issued

CODE, TITLE = "TEMPLATES", "Full-size templates"


def templates(pit: Pit) -> tuple[Template, ...]:
    """Every template that may be issued, in the order the work meets them."""
    if pit.upright is not None:
        return (*profile_templates(pit), *upright_templates(pit, pit.upright))
    return (
        *profile_templates(pit),
        *leg_templates(pit),
        *saddle_templates(pit),
        *pad_templates(pit),
        *throat_templates(pit),
        *firebox_templates(pit),
        *stack_templates(pit),
        *door_templates(pit),
    )


def held_back(pit: Pit) -> tuple[str, ...]:
    """Templates that mark cuts on the vessel and wait for its make-safe record."""
    if pit.cleared:
        return ()
    if pit.upright is not None:
        return ("firebox window", "door corners")
    out = [] if window_issued(pit) else ["throat window"]
    if pit.stack.place == "top":
        out.append("stack hole")
    return (*out, *(["door corners"] if pit.doors else []))


def template_paper(pit: Pit, name: str = "") -> Paper:
    """Letter or A4: as named, else what a shop with these units has."""
    if name in ("letter", "A4"):
        return LETTER if name == "letter" else A4
    return LETTER if pit.tape.inch else A4


def template_pages(pit: Pit, paper: Paper) -> tuple[Page, ...]:
    """A guide, then every template tiled at full size."""
    issued = templates(pit)
    tiled = [
        tile(t.drawing, paper, _stamp(pit, i, t), length=pit.tape.fine, watermark=watermark(pit))
        for i, t in enumerate(issued, 1)
    ]
    before = 1
    while True:
        guide = _guide(pit, paper, issued, [len(pages) for pages in tiled], before)
        if len(guide) == before:
            return numbered(*guide, *(page for pages in tiled for page in pages))
        before = len(guide)


def template_roll(pit: Pit) -> dict[str, dict[str, bytes]]:
    """Each template in one piece: by its name, PDF and SVG with proof bars and DXF at true size."""
    out: dict[str, dict[str, bytes]] = {}
    for i, template in enumerate(templates(pit), 1):
        page = one_piece(template.drawing, _stamp(pit, i, template), watermark=watermark(pit))
        name = f"T{i:02d}-{template.slug}"
        out[name] = {
            f"{name}.pdf": pdf((page,), template.name),
            f"{name}.svg": page_svg(page).encode(),
            f"{name}.dxf": dxf_bytes(template.drawing, "in" if pit.tape.inch else "mm"),
        }
    return out


def _stamp(pit: Pit, number: int, template: Template) -> Stamp:
    about = pit.job.job
    return Stamp(
        shop=about.shop or "–",
        job=" · ".join(p for p in (about.name, about.customer, about.number) if p),
        title=f"T{number}  {template.name}" + (f" ({', '.join(template.marks)})" if template.marks else ""),
        revision=pit.revision,
        date=about.date.isoformat() if about.date else "not dated",
        who="full-size template",
        key=template.check,
        hold=hold_line(pit),
    )


def _guide(pit: Pit, paper: Paper, issued: tuple[Template, ...], counts: list[int], before: int) -> tuple[Page, ...]:
    """What there is, on which pages, and how each is laid."""
    upright = paper.portrait()

    def board() -> Board:
        return new_board(pit, upright, CODE, TITLE, check=("proof bars on every sheet", "6 in and 150 mm"), key=None)

    rows, first = [], before + 1
    for i, (template, count) in enumerate(zip(issued, counts, strict=True), 1):
        pages = str(first) if count == 1 else f"{first}–{first + count - 1}"
        rows.append((f"T{i}", template.name, ", ".join(template.marks), pages, "", ""))
        first += count
    contents = Table(
        (
            Column("no.", bold=True),
            Column("template", wrap=True),
            Column("pieces", wrap=True),
            Column("pages", align="right"),
            Column("6 in got", blank=True),
            Column("150 mm got", blank=True),
        ),
        tuple(rows),
        title="Templates",
    )
    blocks: list[Block] = [contents, _first(), *_held(pit), *_square(pit)]
    for i, template in enumerate(issued, 1):
        what, figure = template.check
        blocks.append(
            Notes((*template.how, f"Check: {what}: {figure}."), title=f"T{i}  {template.name}", numbered=False)
        )
    return spread(board, (), tuple(blocks), columns=1)


def _first() -> Notes:
    lines = (
        "Print at actual size (100 %), never fitted to the page. Measure the 6 in and the 150 mm bar on every sheet with your own "
        "steel tape and write what you got in the list.",
        "A bar that measures wrong: do not cut from that sheet. Switch fitting and scaling off in the printer's window, print again, "
        "measure again. If only one way of the paper is wrong, use another printer or the one-piece file at a print shop.",
        "Join the sheets cross on cross, in the order of the little map; then measure the distance named in the foot of each sheet.",
        "Heavy lines are cuts, thin ones are marks. Every template is seen with its printed side out. Leave the line: the kerf lies "
        "in the scrap.",
        "Paper moves with damp: use a template on the day it is printed, or glue it to card at once. It burns: punch or scribe "
        "the line, then take the paper off before any heat.",
    )
    return Notes(lines, title="Before anything is cut", numbered=True)


def square_ends(pit: Pit) -> tuple[str, ...]:
    """Ends that are cut square and ask for no template."""
    out = []
    if pit.firebox.joint not in ("dished", "side"):
        on = "throat plate" if pit.firebox.joint == "cut" else "vessel's flat end"
        out.append(f"firebox on the {on}")
    if pit.stack.place == "head":
        out.append("stack on the middle of the top, dressed to it by grinder")
    if pit.stack.place == "top" and pit.stack.reach_in:
        out.append("stack, which goes in through its hole")
    return tuple(out)


def _square(pit: Pit) -> tuple[Block, ...]:
    ends = square_ends(pit)
    return (Notes((f"{'; '.join(ends).capitalize()}.",), title="Cut square, no template needed"),) if ends else ()


def _held(pit: Pit) -> tuple[Block, ...]:
    held = held_back(pit)
    if not held:
        return ()
    line = (
        f"Held back: {', '.join(held)}. They mark cuts on the vessel, and its make-safe record is not complete. Fill and sign the "
        "hold tag, then print again."
    )
    return (Notes((line,), title="Not in this set", bold=True),)
