"""The firebox of a vessel on end: a pipe or a box that meets the shell low at its side, and the window between them.

The window is cut round the firebox's inside, a dam's height over its bottom: a round one by a smaller round set higher,
so that it is still where two round pipes meet square. End view as elsewhere: y across, v up from the shell's middle.
"""

from __future__ import annotations

import math

from pitwright.geometry.curves import Saddle
from pitwright.layout.draft import Draft
from pitwright.layout.fire_grate import fire_grate_parts
from pitwright.layout.firebox_inside import lay_out_inside
from pitwright.layout.firebox_parts import outer_end
from pitwright.layout.firebox_size import FireSizes, throat_area
from pitwright.layout.model import FireboxLayout, Opening, ThroatLayout, VesselLayout
from pitwright.layout.upright_model import SideWindow
from pitwright.layout.upright_sizes import Heights
from pitwright.parts import (
    Bar,
    CylinderCut,
    Outline,
    Placement,
    PlaneCut,
    Plate,
    Point2,
    ShellCutting,
    Window,
    bulge_of,
)
from pitwright.stock import pipe
from pitwright.tape import INCH

SIDE = -math.pi / 2.0  # clock of the firebox, a quarter round from the front line
POINTS = 96


def lay_out_window(draft: Draft, radius: float, wall: float, sizes: FireSizes, heights: Heights) -> SideWindow:
    """The window's true outline on the skin and its area."""
    inner = sizes.width / 2.0 - sizes.wall
    dam = draft.ledger.choose(
        "throat.dam", draft.rules.throat.dam, because="skin left standing at the window's foot, against ash and grease",
        limits=(0.0, sizes.height / 2.0),
    )  # fmt: skip
    if sizes.shape == "round":
        r, middle = inner - dam / 2.0, heights.firebox + dam / 2.0
        inside, outside = (Saddle(header_radius=radius, branch_radius=b) for b in (r, sizes.width / 2.0))
        outline = _laid(inside, middle, radius)
        joint = _laid(outside, heights.firebox, radius)
        skin, clear, half = inside.hole().area, math.pi * r * r, math.asin(r / radius)
        x0, x1 = middle - r, middle + r
        formula = "two round pipes square to each other: y2 + z2 = R2, y2 + x2 = r2"
    else:
        x0, x1 = heights.window_low, heights.window_high
        half, half_out = math.asin(inner / radius), math.asin(sizes.width / 2.0 / radius)
        outline = _square(x0, x1, half, radius)
        joint = _square(heights.firebox - sizes.height / 2.0, heights.firebox + sizes.height / 2.0, half_out, radius)
        skin, clear = 2.0 * half * radius * (x1 - x0), 2.0 * inner * (x1 - x0)
        formula = "R asin(w / 2R) each way, square on the flat skin"
    draft.ledger.note(
        "window.skin_area", skin, "area", because="cut out of the skin, laid flat", formula=formula,
        rests_on=("firebox.width", "vessel.diameter", "throat.dam"),
        source="intersection of the firebox's inside with the outside skin",
    )  # fmt: skip
    draft.ledger.note(
        "window.around", 2.0 * half * radius, because="widest of the window, by tape round the skin",
        rests_on=("firebox.width", "vessel.diameter"),
    )  # fmt: skip
    return SideWindow(
        shape="round" if sizes.shape == "round" else "box", outline=outline, joint=joint, x0=x0, x1=x1, clock=SIDE,
        half_clock=half, skin_area=skin, clear_area=clear, dam=dam,
    )  # fmt: skip


def _laid(saddle: Saddle, middle: float, radius: float) -> tuple[Point2, ...]:
    along, around = saddle.outline(POINTS)
    return tuple((middle + float(s), radius * SIDE + float(a)) for s, a in zip(along, around, strict=True))


def _square(x0: float, x1: float, half: float, radius: float) -> tuple[Point2, ...]:
    low, high = radius * (SIDE - half), radius * (SIDE + half)
    return ((x0, low), (x1, low), (x1, high), (x0, high))


def window_cut(window: SideWindow, radius: float) -> ShellCutting:
    """The cut through the shell, in the shell's own frame."""
    if window.shape == "box":
        return Window(
            x0=window.x0, x1=window.x1, clock0=window.clock - window.half_clock, clock1=window.clock + window.half_clock
        )
    return CylinderCut(
        point=((window.x0 + window.x1) / 2.0, 0.0, 0.0),
        axis=(0.0, -1.0, 0.0),
        radius=(window.x1 - window.x0) / 2.0,
        reach=(0.2 * radius, math.inf),
    )


def lay_out_side_throat(draft: Draft, vessel: VesselLayout, window: SideWindow, sizes: FireSizes) -> ThroatLayout:
    """The window as the gas sees it, square to the firebox; against the shop's share."""
    tape = draft.tape
    wanted = draft.ledger.choose(
        "throat.wanted", throat_area(draft, vessel.inner_radius), "area",
        because="the shop's share of the chamber's section, at least", formula="share x pi Ri^2",
        rests_on=("vessel.diameter", "vessel.wall"), limits=(6.0 * INCH**2, 0.6 * math.pi * vessel.inner_radius**2),
    )  # fmt: skip
    net, v0, v1 = window.clear_area, window.x0 - vessel.length / 2.0, window.x1 - vessel.length / 2.0
    inner = sizes.width / 2.0 - sizes.wall
    if window.shape == "round":
        outline, gross = Outline.circle(0.0, (v0 + v1) / 2.0, (v1 - v0) / 2.0), math.pi * inner * inner
        wide, wide_at = v1 - v0, (v0 + v1) / 2.0
    else:
        outline = Outline.rectangle(-inner, v0, inner, v1)
        gross, wide, wide_at = 2.0 * inner * (sizes.height - 2.0 * sizes.wall), 2.0 * inner, v0
    draft.ledger.note(
        "throat.net", net, "area", because="the window square to the firebox, over its dam", formula="exact area",
        rests_on=("firebox.width", "throat.dam"),
    )  # fmt: skip
    if net < wanted * 0.98:
        draft.find(
            "throat.area", "warn",
            f"The window opens {tape.small_area(net)}; the shop's share asks for {tape.small_area(wanted)}.",
            pieces=("window",), remedy="Take a larger firebox, or a lower dam.",
        )  # fmt: skip
    draft.openings.append(Opening(name="firebox window", on="shell", outline=window.outline, area=window.skin_area))
    return ThroatLayout(
        shape="window", points=outline.points, bulges=outline.bulges, gross_area=gross, net_area=net,
        wanted_area=wanted, dam=window.dam, bottom=v0, top=v1, widest=wide, widest_at=wide_at,
        plate_x=-vessel.outer_radius, plate_thickness=vessel.wall, perimeter=outline.perimeter,
    )  # fmt: skip


def lay_out_side_firebox(
    draft: Draft, vessel: VesselLayout, sizes: FireSizes, inside: float, heights: Heights
) -> FireboxLayout:
    """Where it stands, its fire grate, doors and inlets.

    Raises LayoutError where fire grate or doors do not fit.
    """
    rules, ledger, tape = draft.rules.firebox, draft.ledger, draft.tape
    centre_z = heights.seam_z + heights.firebox
    ledger.note(
        "firebox.centre",
        centre_z,
        because="firebox middle over the floor",
        rests_on=("firebox.over_seam", "vessel.seam"),
    )
    drop = vessel.centre_z - centre_z
    box = lay_out_inside(draft, vessel, sizes, inside=inside, x1=-vessel.outer_radius, drop=drop, joint="side")
    low = centre_z - sizes.height / 2.0
    if low < rules.floor_clear - 1e-6:
        draft.find(
            "firebox.floor",
            "warn",
            f"The firebox bottom stands {tape.length(low)} over the floor; the shop wants {tape.length(rules.floor_clear)}.",
            remedy="Raise the base, or take a smaller firebox.",
            clearance=low,
        )
    return box


def side_firebox_parts(draft: Draft, vessel: VesselLayout, box: FireboxLayout) -> None:
    """Body coped to the shell, end plate with its doors, fire grate."""
    if box.shape == "round":
        _pipe(draft, vessel, box)
    else:
        _box(draft, vessel, box)
    outer_end(draft, box)
    fire_grate_parts(draft, box)


def _pipe(draft: Draft, vessel: VesselLayout, box: FireboxLayout) -> None:
    stock = pipe(box.width, box.wall, system=draft.tape.system)
    length = box.depth_inside
    radius = vessel.outer_radius
    cope = Saddle(header_radius=radius, branch_radius=box.width / 2.0)
    deep = radius - math.sqrt(radius**2 - (box.width / 2.0) ** 2)
    draft.ledger.note(
        "firebox.cope", cope.template(16).depth, because="depth of the firebox's cope to the shell",
        formula="R - sqrt(R^2 - r^2)", rests_on=("vessel.diameter", "firebox.width"), source="two round pipes square",
    )  # fmt: skip
    draft.ledger.note(
        "firebox.pipe", length + deep, because="firebox pipe, longest side", rests_on=("firebox.length", "firebox.cope")
    )
    draft.add(
        "F",
        "firebox body",
        "firebox",
        Bar(
            profile=stock,
            x0=0.0,
            x1=length,
            start=PlaneCut(point=(0.0, 0.0, 0.0), normal=(-1.0, 0.0, 0.0)),
            finish=CylinderCut(point=(length + radius, 0.0, 0.0), axis=(0.0, 0.0, 1.0), radius=radius),
        ),
        Placement(origin=(box.x0 + box.end_plate, 0.0, box.centre_z)),
        stock.designation,
        notes=("coped to the shell: the longest points lie level, at the sides",),
    )


def _box(draft: Draft, vessel: VesselLayout, box: FireboxLayout) -> None:
    """Bottom and roof run full width, their ends cut to the shell's true arc; sides stand between them."""
    t, radius, x0 = box.wall, vessel.outer_radius, box.x0 + box.end_plate
    name, half = draft.plate(t), box.width / 2.0
    reach = -x0 - math.sqrt(radius**2 - half**2)  # where the corners end
    sweep = 2.0 * math.asin(half / radius)
    flat = Outline(
        ((0.0, -half), (reach, -half), (reach, half), (0.0, half)),
        (0.0, bulge_of(-sweep), 0.0, 0.0),
    )
    low = box.centre_z - box.height / 2.0
    draft.add(
        "F",
        "firebox bottom and roof",
        "firebox",
        Plate(outline=flat, thickness=t),
        [Placement(origin=(x0, 0.0, z), where=where) for z, where in ((low, "bottom"), (low + box.height - t, "roof"))],
        name,
        notes=("the arc lies on the shell",),
    )
    side = -x0 - math.sqrt(radius**2 - (half - t) ** 2)
    draft.add(
        "F",
        "firebox side",
        "firebox",
        Plate(outline=Outline.rectangle(0.0, 0.0, side, box.height - 2.0 * t), thickness=t),
        [
            Placement(origin=(x0, y, low + t), x=(1.0, 0.0, 0.0), y=(0.0, 0.0, 1.0), z=(0.0, -1.0, 0.0), where=where)
            for y, where in ((half, "working side"), (-half + t, "back"))
        ],
        name,
        notes=("bevel the edge at the shell on the outside",),
    )
