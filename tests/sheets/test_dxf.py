"""DXF: clean, true, in plain words. Independent reader: ezdxf, shapely for areas."""

from __future__ import annotations

import io
import math
import os
import subprocess
import sys
from types import ModuleType
from typing import Any

import ezdxf
import pytest
from ezdxf import path as dxf_path
from shapely.geometry import Polygon

from pitwright.parts import Outline, bulge_of
from pitwright.sheets.dxf import dxf_bytes
from pitwright.sheets.sketch import Sketch


def read(data: bytes) -> Any:
    document = ezdxf.read(io.StringIO(data.decode("utf-8")))  # type: ignore[attr-defined]
    audit = document.audit()
    assert audit.errors == []
    assert audit.fixes == []
    return document


def plate() -> Outline:
    """A 200 x 100 mm plate with one round end and a hole."""
    return Outline(
        ((0.0, 0.0), (0.2, 0.0), (0.2, 0.1), (0.0, 0.1)),
        (0.0, bulge_of(math.pi), 0.0, 0.0),
        (Outline.circle(0.05, 0.05, 0.01),),
    )


def cut_plate() -> Sketch:
    s = Sketch()
    s.outline(plate(), "cut")
    s.line((0.02, 0.02), (0.18, 0.02), "mark")
    s.arc((0.1, 0.05), 0.02, 0.3, 1.0, "bend")
    s.text((0.1, 0.05), "P1 ½″ Ø", height=5.0)
    return s


@pytest.mark.parametrize(("unit", "code", "size"), [("mm", 4, 1000.0), ("in", 1, 1000.0 / 25.4)])
def test_a_plate_comes_out_true(unit: Any, code: int, size: float) -> None:
    document = read(dxf_bytes(cut_plate().drawing(), unit))
    assert document.header["$INSUNITS"] == code
    assert document.dxfversion == "AC1024"
    space = document.modelspace()
    (edge,) = space.query("LWPOLYLINE")
    assert edge.closed
    assert edge.dxf.layer == "CUT"
    assert [round(p[2], 9) for p in edge.get_points("xyseb")] == [0.0] * 4
    bulges = [p[4] for p in edge.get_points("xyseb")]
    assert bulges == pytest.approx([0.0, 1.0, 0.0, 0.0])
    area = Polygon([(v.x, v.y) for v in dxf_path.make_path(edge).flattening(1e-5)]).area
    want = (plate().area + math.pi * 0.01**2) * size * size
    assert area == pytest.approx(want, rel=1e-4)
    (hole,) = space.query("CIRCLE")
    assert hole.dxf.radius == pytest.approx(0.01 * size)
    assert tuple(hole.dxf.center)[:2] == pytest.approx((0.05 * size, 0.05 * size))
    assert hole.dxf.layer == "CUT"


def test_marks_bends_and_text_have_their_layers() -> None:
    space = read(dxf_bytes(cut_plate().drawing())).modelspace()
    (mark,) = space.query("LINE")
    assert mark.dxf.layer == "MARK"
    assert tuple(mark.dxf.end)[:2] == pytest.approx((180.0, 20.0))
    (bend,) = space.query("ARC")
    assert bend.dxf.layer == "BEND"
    assert bend.dxf.radius == pytest.approx(20.0)
    assert bend.dxf.start_angle == pytest.approx(math.degrees(0.3))
    assert bend.dxf.end_angle == pytest.approx(math.degrees(1.3))
    (text,) = space.query("TEXT")
    assert text.dxf.layer == "TEXT"
    assert text.dxf.text == "P1 ½″ Ø"
    assert text.dxf.height == pytest.approx(5.0)


def test_a_long_arc_and_a_mirrored_one_keep_their_circle() -> None:
    s = Sketch()
    s.arc((0.1, 0.2), 0.05, -0.4, 5.0, "cut")
    for drawing, centre in ((s.drawing(), (100.0, 200.0)), (s.drawing().mirrored(), (-100.0, 200.0))):
        (run,) = read(dxf_bytes(drawing)).modelspace().query("LWPOLYLINE")
        assert not run.closed
        for v in dxf_path.make_path(run).flattening(1e-4):
            assert math.dist((v.x, v.y), centre) == pytest.approx(50.0, abs=0.02)


def test_a_whole_dimensioned_view_is_clean(sample: ModuleType) -> None:
    document = read(dxf_bytes(sample.side_view(), ratio=1 / 12))
    names = {layer.dxf.name for layer in document.layers}
    assert {"OUTLINE", "HIDDEN", "CENTRE", "CUT", "MARK", "OLD POSITION", "DIMENSION", "TEXT", "GROUND"} <= names
    figures = [t for t in document.modelspace().query("TEXT") if t.dxf.text == '21-15/16"']
    assert figures[0].dxf.height == pytest.approx(2.5 * 12.0)
    assert document.layers.get("CENTRE").dxf.linetype == "CENTER"


def test_same_drawing_same_bytes(sample: ModuleType) -> None:
    ezdxf.options.write_fixed_meta_data_for_testing = False  # type: ignore[attr-defined]
    assert dxf_bytes(sample.end_view()) == dxf_bytes(sample.end_view())
    assert ezdxf.options.write_fixed_meta_data_for_testing is False  # type: ignore[attr-defined]


def test_the_same_drawing_gives_the_same_file_whatever_python_hashes() -> None:
    """Bytes may not hang on the order of a set, which differs from one run of Python to the next."""
    program = (
        "import hashlib; from pitwright.sheets.dxf import dxf_bytes; from pitwright.sheets.sketch import Sketch; "
        "s = Sketch(); s.line((0.0, 0.0), (1.0, 1.0), 'outline'); "
        "print(hashlib.sha256(dxf_bytes(s.drawing(), 'in')).hexdigest())"
    )
    made = {
        subprocess.run(
            [sys.executable, "-c", program],
            env=os.environ | {"PYTHONHASHSEED": str(seed)},
            check=True,
            capture_output=True,
            text=True,
        ).stdout
        for seed in range(6)
    }
    assert len(made) == 1
