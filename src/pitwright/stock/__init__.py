"""Steel as it is bought: bar stock with its section figures, names of plate and gauges, each with its source."""

from pitwright.stock.find import find_profile, plate_name
from pitwright.stock.profile import DESIGN_WALL_SHARE, STEEL_DENSITY, Kind, Profile, size_text
from pitwright.stock.sections import angle, flat, pipe, round_bar, tube
from pitwright.stock.tables import known_profiles, sheet_gauge, tube_gauge

__all__ = [
    "DESIGN_WALL_SHARE",
    "STEEL_DENSITY",
    "Kind",
    "Profile",
    "angle",
    "find_profile",
    "flat",
    "known_profiles",
    "pipe",
    "plate_name",
    "round_bar",
    "sheet_gauge",
    "size_text",
    "tube",
    "tube_gauge",
]
