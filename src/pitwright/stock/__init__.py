"""Steel as it is bought: bar stock with its section figures, plate, sheet and gauges, each with its source."""

from pitwright.stock.find import find_profile, plate_name, plate_thickness
from pitwright.stock.profile import DESIGN_WALL_SHARE, STEEL_DENSITY, Kind, Profile, size_text
from pitwright.stock.sections import angle, flat, pipe, round_bar, tube
from pitwright.stock.tables import (
    ExpandedMetal,
    Sheet,
    expanded_metals,
    known_profiles,
    plate_mass_per_area,
    plate_thicknesses,
    sheet_gauge,
    sheets,
    tube_gauge,
)

__all__ = [
    "DESIGN_WALL_SHARE",
    "STEEL_DENSITY",
    "ExpandedMetal",
    "Kind",
    "Profile",
    "Sheet",
    "angle",
    "expanded_metals",
    "find_profile",
    "flat",
    "known_profiles",
    "pipe",
    "plate_mass_per_area",
    "plate_name",
    "plate_thickness",
    "plate_thicknesses",
    "round_bar",
    "sheet_gauge",
    "sheets",
    "size_text",
    "tube",
    "tube_gauge",
]
