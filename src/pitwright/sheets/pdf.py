"""Pages to one PDF, and to pictures of what a printer would lay down.

Set by typst with the shipped fonts only; the same pages always give the same bytes.
"""

from __future__ import annotations

import base64
from collections.abc import Sequence
from functools import lru_cache
from typing import Any, Literal

from pitwright.errors import OutputError
from pitwright.sheets.lettering import FAMILY, FONT_FOLDER
from pitwright.sheets.page import Page
from pitwright.sheets.svg import number, svg


def page_svg(page: Page) -> str:
    """One page as an SVG picture of its true size."""
    return svg(page.all_ink(), page.paper.width, page.paper.height)


def pdf(pages: Sequence[Page], title: str = "") -> bytes:
    """All pages as one PDF at true size, fonts inside, text searchable."""
    return _set(pages, title, "pdf")[0]


def png(pages: Sequence[Page], dots_per_inch: float = 100.0) -> tuple[bytes, ...]:
    """Each page as a PNG picture."""
    return _set(pages, "", "png", dots_per_inch)


def pictures(pages: Sequence[Page]) -> tuple[bytes, ...]:
    """Each page as an SVG picture with the fonts inside: it looks as it is printed, wherever it is looked at."""
    return tuple(_with_fonts(page_svg(page)).encode() for page in pages)


def _with_fonts(picture: str) -> str:
    end = picture.index(">") + 1
    return f"{picture[:end]}<style>{_font_faces()}</style>{picture[end:]}"


@lru_cache(maxsize=1)
def _font_faces() -> str:
    """The shipped fonts as a style sheet that needs no other file."""
    faces = []
    for name, weight in (("Regular", 400), ("Bold", 700)):
        data = base64.b64encode((FONT_FOLDER / f"PitwrightSans-{name}.ttf").read_bytes()).decode()
        faces.append(
            f'@font-face{{font-family:"{FAMILY}";font-weight:{weight};src:url("data:font/ttf;base64,{data}")}}'
        )
    return "".join(faces)


def _set(
    pages: Sequence[Page], title: str, form: Literal["pdf", "png"], dots_per_inch: float | None = None
) -> tuple[bytes, ...]:
    import typst

    if not pages:
        raise OutputError("there is no page to print", remedy="Choose at least one sheet.")
    files: dict[str, bytes] = {}
    lines = ["#set document(title: sys.inputs.title, date: none)"]
    for i, page in enumerate(pages):
        name = f"page{i:03d}.svg"
        files[name] = page_svg(page).encode()
        w, h = number(page.paper.width), number(page.paper.height)
        lines.append(f'#page(width: {w}mm, height: {h}mm, margin: 0mm, image("{name}", width: {w}mm))')
    files["main.typ"] = "\n".join(lines).encode()
    project: Any = files
    made: Any = typst.compile(
        project,
        format=form,
        ppi=dots_per_inch,
        font_paths=[str(FONT_FOLDER)],
        ignore_system_fonts=True,
        sys_inputs={"title": title},
        timestamp=0,
        pdf_tags=False,
    )
    return tuple(made) if isinstance(made, list) else (made,)
