"""The STEP file of a pit: exact solids, every piece once by its mark, every copy placed. Same parts, same bytes."""

from __future__ import annotations

import itertools
import re
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from pitwright.errors import OutputError
from pitwright.job.file import write_whole
from pitwright.parts import Part, Placement
from pitwright.solid.brep import MM, brep_mass, brep_of
from pitwright.solid.kernel import kernel

__all__ = ["brep_mass", "brep_of", "write_step"]

_FILE_NAME = re.compile(rb"FILE_NAME\(.*?\);", re.DOTALL)
_COUNTED = re.compile(rb"(NEXT_ASSEMBLY_USAGE_OCCURRENCE\(')[0-9]+'")
_HEADER = b"FILE_NAME('pit','1970-01-01T00:00:00',(''),(''),'Open CASCADE','Pitwright','');"


def write_step(parts: Iterable[Part], path: Path, *, name: str = "pit") -> None:
    """Write parts as an assembly: products are piece marks and names, placed pieces `mark/copy`; lengths in mm.

    Whole file or none. Left-handed copies become a product of their own, `mark mirrored`.
    """
    k = kernel()
    document = k.TDocStd_Document(k.TCollection_ExtendedString("pit"))
    tool = k.XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    assembly = tool.NewShape()
    _name(assembly, name)
    for part in parts:
        products: dict[bool, Any] = {}
        for copy, placement in enumerate(part.placements):
            mirrored = placement.mirrored
            if mirrored not in products:
                shape = brep_of(part.shape)
                if mirrored:
                    shape = k.BRepBuilderAPI_Transform(shape, _turned_over(), True).Shape()
                products[mirrored] = tool.AddShape(shape, False)
                _name(products[mirrored], f"{part.mark}{' mirrored' if mirrored else ''} {part.name}")
            placed = tool.AddComponent(assembly, products[mirrored], _location(placement))
            _name(placed, f"{part.mark}/{copy + 1}")
    tool.UpdateAssemblies()
    writer = k.STEPCAFControl_Writer()
    writer.SetNameMode(True)
    if not writer.Transfer(document, k.STEPControl_StepModelType.STEPControl_AsIs):
        raise OutputError("the solid kernel could not translate the pieces", field="pit.step", value=name)
    with tempfile.TemporaryDirectory() as scratch:
        draft = Path(scratch) / "pit.step"
        status = writer.Write(str(draft))
        if status != k.IFSelect_ReturnStatus.IFSelect_RetDone or not draft.exists():
            raise OutputError("the solid kernel could not write the pieces", field=path.name, value=str(status))
        content = draft.read_bytes()
    write_whole(path, _repeatable(content))


def _repeatable(content: bytes) -> bytes:
    """The file without the clock, and with its placed pieces counted from 1 (the kernel counts on over all files)."""
    count = itertools.count(1)
    content = _COUNTED.sub(lambda found: found[1] + str(next(count)).encode() + b"'", content)
    return _FILE_NAME.sub(_HEADER, content, count=1)


def _name(label: Any, text: str) -> None:
    kernel().TDataStd_Name.Set_s(label, kernel().TCollection_ExtendedString(text, True))


def _turned_over() -> Any:
    """The mirror that a left-handed copy is first put through: y to -y."""
    mirror = kernel().gp_Trsf()
    mirror.SetValues(1.0, 0.0, 0.0, 0.0, 0.0, -1.0, 0.0, 0.0, 0.0, 0.0, 1.0, 0.0)
    return mirror


def _location(placement: Placement) -> Any:
    x, y, z, o = placement.x, placement.y, placement.z, placement.origin
    if placement.mirrored:
        y = (-y[0], -y[1], -y[2])
    move = kernel().gp_Trsf()
    rows = ((x[i], y[i], z[i], o[i] * MM) for i in range(3))
    move.SetValues(*(value for row in rows for value in row))
    return kernel().TopLoc_Location(move)
