"""PDF: true size, the same bytes every time, only our fonts, and quick."""

from __future__ import annotations

import math
import os
import pathlib
import re
import shutil
import subprocess
import sys
import time
import zlib
from collections.abc import Callable
from types import ModuleType

import numpy as np
import pytest
from numpy.typing import NDArray

from pitwright.errors import OutputError
from pitwright.parts import arc_of
from pitwright.sheets.ink import STYLES, Path, Stroke, line
from pitwright.sheets.page import Page
from pitwright.sheets.paper import A4, LETTER, TABLOID
from pitwright.sheets.pdf import page_svg, pdf, png

Render = Callable[[Page, int, float, float], NDArray[np.bool_]]
POINT = 25.4 / 72.0


def ticks(row: NDArray[np.bool_], dots_per_inch: int) -> list[float]:
    """Middles of the dark runs of one row of dots [mm]."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], row.astype(np.int8), [0]))))
    return [(a + b) / 2.0 / dots_per_inch * 25.4 for a, b in zip(edges[::2], edges[1::2], strict=True)]


@pytest.mark.parametrize("paper", [LETTER, A4, TABLOID.landscape()])
def test_a_150_mm_bar_prints_150_mm(paper: object, printed: Render) -> None:
    page = Page(paper, (line((20, 30), (20, 40)), line((170, 30), (170, 40))))  # type: ignore[arg-type]
    a, b = ticks(printed(page, 1200, 34.0, 36.0)[40], 1200)
    assert b - a == pytest.approx(150.0, abs=0.02)
    assert a == pytest.approx(20.0, abs=0.05)


def test_a_great_circle_prints_round(printed: Render) -> None:
    """A quarter of R 180 mm: every dark dot within half a line and a dot of the circle."""
    edge = Path(((190.0, 200.0), (10.0, 20.0)), (math.tan(math.pi / 8.0),))
    page = Page(LETTER, (Stroke(edge, "thin"),))
    y, x = np.nonzero(printed(page, 300, 0.0, page.paper.height))
    mm = 25.4 / 300
    cx, cy = arc_of(*edge.points, edge.bulges[0])[0]
    r = np.hypot((x + 0.5) * mm - cx, (y + 0.5) * mm - cy)
    assert len(r) > 5000
    assert r.min() == pytest.approx(180.0, abs=STYLES["thin"].weight / 2.0 + mm)
    assert r.max() == pytest.approx(180.0, abs=STYLES["thin"].weight / 2.0 + mm)


def test_pages_keep_their_sizes(sample: ModuleType) -> None:
    pages = (*sample.sample(LETTER), *sample.sample(A4.landscape()), *sample.sample(TABLOID.landscape()))
    data = pdf(pages)
    boxes = re.findall(rb"/MediaBox\s*\[\s*0\s+0\s+([\d.]+)\s+([\d.]+)\s*\]", _inflated(data))
    got = [float(v) * POINT for box in boxes for v in box]
    assert got == pytest.approx([v for p in pages for v in (p.paper.width, p.paper.height)], abs=0.01)


def _inflated(data: bytes) -> bytes:
    """A PDF with its compressed streams opened beside it, for looking at."""
    out = [data]
    for match in re.finditer(rb"stream\r?\n(.*?)endstream", data, re.S):
        try:
            out.append(zlib.decompress(match.group(1)))
        except zlib.error:
            continue
    return b"\n".join(out)


def test_only_the_shipped_fonts_are_inside(sample: ModuleType) -> None:
    data = _inflated(pdf(sample.sample(LETTER)))
    names = {n.decode() for n in re.findall(rb"/FontName\s*/([A-Za-z0-9+-]+)", data)}
    assert {n.split("+")[-1] for n in names} == {"PitwrightSans-Regular", "PitwrightSans-Bold"}


def test_the_same_pages_give_the_same_bytes_in_another_process(sample: ModuleType) -> None:
    here = pdf(sample.sample(LETTER), "Sample")
    program = (
        "import sys, importlib.util as u, hashlib\n"
        f"spec = u.spec_from_file_location('s', {str(pathlib.Path(__file__).with_name('sample.py'))!r})\n"
        "m = u.module_from_spec(spec); sys.modules['s'] = m; spec.loader.exec_module(m)\n"
        "from pitwright.sheets.pdf import pdf\nfrom pitwright.sheets.paper import LETTER\n"
        "sys.stdout.buffer.write(pdf(m.sample(LETTER), 'Sample'))\n"
    )
    run = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True,
        check=True,
        env={**os.environ, "PYTHONHASHSEED": "7"},
    )
    assert run.stdout == here


@pytest.mark.skipif(not shutil.which("pdftotext"), reason="needs pdftotext to read the PDF back")
def test_the_lettering_can_be_searched(sample: ModuleType) -> None:
    run = subprocess.run(["pdftotext", "-", "-"], input=pdf(sample.sample(LETTER)), capture_output=True, check=True)
    text = run.stdout.decode()
    for words in ("North Yard Fabrication", '34-3/4"', "off square", "NOT CLEARED"):
        assert words in text


def test_a_twenty_page_set_is_built_well_under_three_seconds(sample: ModuleType) -> None:
    sample.sample(TABLOID.landscape())
    start = time.perf_counter()
    pages = [p for _ in range(5) for p in sample.sample(LETTER.landscape(), rows=14)]
    data = pdf(pages)
    taken = time.perf_counter() - start
    assert len(pages) >= 20
    assert len(data) > 50_000
    assert taken < 3.0


def test_pictures_are_as_large_as_asked() -> None:
    (data,) = png((Page(LETTER, (line((20, 30), (20, 40)),)),), 50)
    width, height = (int.from_bytes(data[k : k + 4], "big") for k in (16, 20))
    assert (width, height) == (425, 550)


def test_no_page_no_pdf() -> None:
    with pytest.raises(OutputError, match="no page"):
        pdf(())


def test_names_typed_by_a_person_cannot_break_a_sheet(sample: ModuleType) -> None:
    from dataclasses import replace

    page = sample.sample(LETTER)[0]
    odd = replace(page, stamp=replace(page.stamp, shop='#x "y" <z> & \\ $1$ ]'))
    assert pdf((odd,), 'a "title" #here')
    assert "&lt;z&gt; &amp;" in page_svg(odd)
