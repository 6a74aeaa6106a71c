"""Starting the OCCT kernel, or saying what to install.

The kernel is an extra (`pip install "pitwright[step]"`). Its wheel links system libraries for showing pictures, which
a bare system lacks although nothing here shows any.
"""

from __future__ import annotations

import importlib
from functools import cache
from types import SimpleNamespace
from typing import Any

from pitwright.errors import OutputError

_NAMES = {
    "BRepAlgoAPI": ("BRepAlgoAPI_Cut",),
    "BRepBuilderAPI": (
        "BRepBuilderAPI_MakeEdge",
        "BRepBuilderAPI_MakeFace",
        "BRepBuilderAPI_MakeWire",
        "BRepBuilderAPI_Transform",
    ),
    "BRepCheck": ("BRepCheck_Analyzer",),
    "BRepGProp": ("BRepGProp",),
    "BRepPrimAPI": (
        "BRepPrimAPI_MakeBox",
        "BRepPrimAPI_MakeCylinder",
        "BRepPrimAPI_MakePrism",
        "BRepPrimAPI_MakeRevol",
    ),
    "GC": ("GC_MakeArcOfCircle",),
    "GProp": ("GProp_GProps",),
    "Geom": ("Geom_Ellipse", "Geom_OffsetCurve", "Geom_TrimmedCurve"),
    "IFSelect": ("IFSelect_ReturnStatus",),
    "Message": ("Message", "Message_PrinterOStream"),
    "STEPCAFControl": ("STEPCAFControl_Writer",),
    "STEPControl": ("STEPControl_StepModelType",),
    "TCollection": ("TCollection_ExtendedString",),
    "TDataStd": ("TDataStd_Name",),
    "TDocStd": ("TDocStd_Document",),
    "TopLoc": ("TopLoc_Location",),
    "TopoDS": ("TopoDS",),
    "XCAFDoc": ("XCAFDoc_DocumentTool",),
    "gp": ("gp_Ax1", "gp_Ax2", "gp_Dir", "gp_Elips", "gp_Pnt", "gp_Trsf", "gp_Vec"),
}

_DEBIAN = {"libGL": "libgl1", "libX11": "libx11-6", "libexpat": "libexpat1", "libEGL": "libegl1"}


def kernel_error(error: ImportError) -> OutputError:
    """What is missing and how to get it, from what the import said."""
    said = str(error)
    for library, package in _DEBIAN.items():
        if library in said:
            return OutputError(
                f"the exact solid cannot be made: the system library {library} is missing",
                field="pit.step",
                value=said,
                allowed=f"Debian package {package} installed",
                remedy=f"Run: apt-get install --no-install-recommends {package}. Everything else of the pack is there.",
            )
    return OutputError(
        "the exact solid cannot be made: the solid kernel is not installed",
        field="pit.step",
        value=said,
        allowed="the extra `step` installed",
        remedy='Run: pip install "pitwright[step]". Everything else of the pack is there.',
    )


@cache
def kernel() -> Any:
    """The kernel's classes by name; raises OutputError where it cannot start. Its printed statistics are silenced."""
    found = SimpleNamespace()
    try:
        for module, names in _NAMES.items():
            loaded = importlib.import_module(f"OCP.{module}")
            for name in names:
                setattr(found, name, getattr(loaded, name))
    except ImportError as error:
        raise kernel_error(error) from error
    found.Message.DefaultMessenger_s().RemovePrinters(found.Message_PrinterOStream.get_type_descriptor_s())
    return found
