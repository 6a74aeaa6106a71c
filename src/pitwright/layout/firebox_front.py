"""The firebox's outer end: fire door, ash door and air inlets, each as large as the shop likes and the end has room for."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.errors import LayoutError
from pitwright.layout.draft import Draft
from pitwright.layout.throat import FireRound, Section
from pitwright.tape import INCH

DOOR_EDGE = 1.0 * INCH  # steel left round a door opening in the end plate
DOOR_GAP = 1.5 * INCH  # between fire door and ash door openings
SILL = 0.5 * INCH  # fire door over the fire grate
STEP = 0.25 * INCH
TRIES = 24  # heights tried for the ash door
LEAST_DOOR = (3.0 * INCH, 3.0 * INCH)  # width, height
INLET_FILL = 0.9  # part of the ash door's width, and of its height, that inlets may take


@dataclass(frozen=True, slots=True, kw_only=True)
class Front:
    """Openings of the outer end: sizes, and heights over the floor [m]; ash_height 0 where there is no ash door."""

    door_width: float
    door_height: float
    door_z: float
    ash_height: float
    ash_z: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Inlets:
    """One inlet's width and height, their middle height over the floor, and the area of all [m, m2]."""

    width: float
    height: float
    z: float
    area: float


def _half(section: Section, v: float) -> float:
    """Half the width an opening may have at a height, the steel round it left standing; negative where none [m]."""
    if isinstance(section, FireRound):
        return FireRound(radius=section.radius - DOOR_EDGE, drop=section.drop).half_width(v)
    return section.half_width(v) - DOOR_EDGE


def lay_out_front(draft: Draft, section: Section, centre_z: float, grate_z: float, grate_up: float) -> Front:
    """Fire door over the fire grate and ash door under it.

    section, centre_z  inside of the firebox in the end view, and the height its figures are measured from [m]
    Raises LayoutError where no fire door fits.
    """
    rules, ledger, tape = draft.rules.firebox, draft.ledger, draft.tape
    sill = grate_z + SILL

    def room(z0: float, z1: float) -> float:
        return 2.0 * min(_half(section, z0 - centre_z), _half(section, z1 - centre_z))

    tallest = min(rules.door_height, centre_z + section.top - DOOR_EDGE - sill)
    heights = [tallest - 2.0 * i * STEP for i in range(int(max(tallest, 0.0) / STEP) // 2 + 1)]
    sizes = [(min(rules.door_width, room(sill, sill + h)), h) for h in heights if h >= LEAST_DOOR[1]]
    width, height = max(sizes, key=lambda size: size[0] * size[1], default=(0.0, 0.0))
    if width < LEAST_DOOR[0]:
        raise LayoutError(
            f"no room for a fire door over the fire grate ({tape.length(max(tallest, 0.0))} left)",
            field="proportions.firebox.size",
            value=tape.length(section.top - section.bottom),
            allowed=f"a firebox that leaves at least {tape.length(LEAST_DOOR[1])}",
            remedy="Choose a larger firebox or a lower fire grate.",
        )
    gave = ""
    if width < rules.door_width - 1e-6 or height < rules.door_height - 1e-6:
        gave = f"the shop's {tape.length(rules.door_width)} x {tape.length(rules.door_height)}: this firebox end is too small"
    said = "fire door opening"
    height = ledger.choose(
        "firebox.door_height", height, because=said, gave_way=gave, limits=(LEAST_DOOR[1], max(tallest, LEAST_DOOR[1]))
    )
    most = max(room(sill, sill + height), LEAST_DOOR[0])
    width = ledger.choose(
        "firebox.door_width", min(width, most), because=said, gave_way=gave, limits=(LEAST_DOOR[0], most)
    )
    ash_z, ash = _ash_door(section, centre_z, grate_z - grate_up, sill - DOOR_GAP, rules.ash_height)
    return Front(door_width=width, door_height=height, door_z=sill, ash_height=ash, ash_z=ash_z)


def _ash_door(section: Section, centre_z: float, bottom: float, top: float, tallest: float) -> tuple[float, float]:
    """(sill z, height) of the ash door that opens the largest area under the fire door; height 0 where none fits [m]."""
    best = (bottom, 0.0)
    area = 0.0
    for i in range(TRIES):
        sill = bottom + STEP + i / TRIES * (top - bottom)
        height = min(tallest, top - sill)
        if height < 1.0 * INCH:
            break
        half = min(_half(section, sill - centre_z), _half(section, sill + height - centre_z))
        if half * height > area and half > 1.5 * INCH:
            best, area = (sill, height), half * height
    return best


def lay_out_inlets(
    draft: Draft, section: Section, centre_z: float, front: Front, wanted: float, bottom: float, grate_z: float
) -> Inlets:
    """Inlets side by side on the ash door where there is one, else in the end plate under the fire grate.

    Raises LayoutError where there is no room for any.
    """
    count, tape = draft.rules.firebox.inlets, draft.tape
    z0, z1 = bottom + DOOR_EDGE + 2.0 * STEP, grate_z - 2.0 * STEP
    if front.ash_height:
        z0, z1 = front.ash_z, front.ash_z + front.ash_height
    half = min(_half(section, z0 - centre_z), _half(section, z1 - centre_z))
    width, tall = INLET_FILL * 2.0 * half / count, INLET_FILL * (z1 - z0)
    most = count * width * tall
    if width < 0.5 * INCH or tall < 0.25 * INCH:
        raise LayoutError(
            "no room for an air inlet under the fire grate",
            field="proportions.firebox.fire_grate_up",
            value=tape.length(grate_z - bottom),
            allowed="a fire grate that leaves an ash space",
            remedy="Raise the fire grate, or take fewer inlets.",
        )
    area = min(wanted, most)
    if area < wanted - 1e-9:
        draft.find(
            "firebox.inlet_room",
            "warn",
            f"Under the fire grate there is room for {tape.small_area(most)} of inlet, the shop's share asks for "
            f"{tape.small_area(wanted)}: the inlet will choke the fire.",
            remedy="Raise the fire grate, widen the ash door, or add inlets in the firebox side.",
        )
    return Inlets(width=width, height=area / (count * width), z=(z0 + z1) / 2.0, area=area)
