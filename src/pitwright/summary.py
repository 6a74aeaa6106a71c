"""What a person reads first: the key figures of a pit in the shop's units, and the reason chain of any figure."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pitwright.layout.model import Pit
from pitwright.layout.upright_model import UprightLayout
from pitwright.reasons import Reason

Rows = list[tuple[str, str]]


def key_figures(pit: Pit) -> list[tuple[str, Rows]]:
    """Headings with (label, text) rows."""
    tape, vessel = pit.tape, pit.vessel
    empty, loaded = pit.balance["empty"], pit.balance["loaded"]

    def figure(name: str) -> str:
        reason = pit.reasons[name]
        return tape.figure(reason.value, reason.measure)

    out: list[tuple[str, Rows]] = [
        (
            f"{pit.job.job.name}, revision {pit.revision}"
            + ("" if pit.cleared else "  (vessel not cleared: no cut marks)"),
            [
                ("vessel outside diameter", tape.decimal(2.0 * vessel.outer_radius)),
                ("seam to seam", tape.length(vessel.length)),
                *_turned(pit),
                ("weight empty", f"{tape.mass(empty.mass)}, of which assumed {tape.mass(empty.assumed)}"),
                ("weight loaded", tape.mass(loaded.mass)),
                ("centre of gravity", _weight_place(pit)),
                ("length x width x height", " x ".join(figure(f"overall.{n}") for n in ("length", "width", "height"))),
                (
                    "width, doors open, slides out" if pit.upright is None else "width, door open",
                    figure("overall.width_open"),
                ),
            ],
        ),
        (
            "fire",
            [
                (
                    "firebox",
                    f"{tape.length(pit.firebox.width)} x {tape.length(pit.firebox.depth_inside)} inside length",
                ),
                ("firebox drop", tape.length(pit.firebox.drop))
                if pit.upright is None
                else ("firebox middle over the floor", tape.length(pit.firebox.centre_z)),
                ("throat, net" if pit.upright is None else "window, net", tape.small_area(pit.throat.net_area)),
                ("inlets, open", tape.small_area(pit.firebox.inlet_area)),
                ("stack", f"{pit.stack.profile.designation}, {tape.length(pit.stack.length)} long"),
                *_burning(pit),
            ],
        ),
    ]
    grates: Rows = [
        (level.name, f"{tape.length(level.z)} off the floor, {tape.length(level.width)} wide")
        for level in pit.grates.levels
    ]
    out.append(("grates", [*grates, ("meat at once, about", tape.mass(pit.grates.meat_capacity))]))
    out.append(
        (
            "doors",
            [
                (
                    d.name,
                    f"{tape.length(d.x1 - d.x0)} x {tape.length(d.arc)} around, {tape.mass(d.weight)}, pull {tape.force(d.worst_pull)}",
                )
                for d in pit.doors
            ],
        )
    )
    if pit.upright is not None:
        out.append(("base and posts", _base_on_end(pit, pit.upright)))
    for leg_set in pit.leg_sets:
        leg = leg_set.legs[0]
        out.append(
            (
                f"leg set {leg_set.name}",
                [
                    ("station", tape.length(vessel.station(leg_set.x))),
                    ("lean", tape.angle(leg.lean)),
                    ("foot cut, top cut (off square)", f"{tape.angle(leg.foot_cut)}, {tape.angle(leg.top_cut)}"),
                    ("long point, short point", f"{tape.length(leg.long_point)}, {tape.length(leg.short_point)}"),
                    ("top end", f"{leg.end}, gap {tape.fine(leg.gap)} if left straight"),
                    ("between cuts", "roll 180" if leg.roll else "do not roll"),
                ],
            )
        )
    for saddle in pit.saddles:
        out.append(
            (
                f"saddle {saddle.name}",
                [
                    ("station", tape.length(vessel.station(saddle.x))),
                    ("chord, sag", f"{tape.length(saddle.chord)}, {tape.length(saddle.sag)}"),
                    (
                        "height at edge, middle",
                        f"{tape.length(saddle.edge_height)}, {tape.length(saddle.middle_height)}",
                    ),
                ],
            )
        )
    if rows := _rolls_on(pit):
        out.append((pit.base.kind, rows))
    return out


def _rolls_on(pit: Pit) -> Rows:
    """What a stand, cart or trailer stands, rolls or is towed on."""
    tape, base = pit.tape, pit.base

    def figure(name: str) -> str:
        reason = pit.reasons[name]
        return tape.figure(reason.value, reason.measure)

    if base.kind == "stand":
        feet = f"{len(base.supports)} {pit.job.proportions.stand.on}"
        rows = [
            ("stands on", f"{feet}, {figure('stand.casters_apart')} across"),
            ("floor to rail", tape.length(base.floor_gap)),
        ]
        return rows + (
            [("each rated for, at least", figure("stand.caster_rating"))]
            if "stand.caster_rating" in pit.reasons
            else []
        )
    if base.kind == "cart":
        return [
            ("axle, station", figure("cart.axle")),
            ("axle to grips", figure("cart.axle_to_grips")),
            ("grips off the floor", figure("cart.grip_height")),
        ]
    if base.tongue is None:
        return []
    middle = "axle" if len(base.axles) == 1 else "middle of two axles"
    return [
        (f"{middle}, station", f"{figure('trailer.axle')}, {figure('trailer.axle_to_ball')} behind the ball"),
        *((f"on the hitch, {name}", f"{figure(f'trailer.tongue.{name}')}, "
           f"{float(pit.reasons[f'trailer.share.{name}'].value):.1%}") for name in ("empty", "loaded")),
        ("ball over the road", figure("trailer.hitch_height")),
        ("over the fenders", figure("trailer.width")),
    ]  # fmt: skip


def _turned(pit: Pit) -> Rows:
    """How the vessel is turned and set."""
    tape, vessel = pit.tape, pit.vessel
    from_seam = f"{tape.length(vessel.top_from_seam)} clockwise of the long seam, seen at end A"
    if pit.upright is None:
        return [
            ("top line", from_seam),
            ("end that gets the fire", vessel.fire_end),
            ("vessel centre over the floor", tape.length(vessel.centre_z)),
        ]
    return [
        ("front line", from_seam),
        ("end that stands at the bottom", vessel.fire_end),
        ("bottom seam over the floor", tape.length(vessel.seam_z)),
    ]


def _weight_place(pit: Pit) -> str:
    tape, vessel, centre = pit.tape, pit.vessel, pit.balance["empty"].centre
    if pit.upright is None:
        return f"station {tape.length(vessel.station(centre[0]))}, {tape.length(centre[2])} up"
    side = "to the firebox" if centre[0] < 0.0 else "from the firebox"
    return f"{tape.length(centre[2])} up, {tape.length(abs(centre[0]))} off the middle {side}"


def _base_on_end(pit: Pit, own: UprightLayout) -> Rows:
    tape, door, post = pit.tape, own.door, own.posts[0]
    return [
        ("base, square", f"{tape.length(own.square)}, diagonal {tape.fine(own.diagonal)}"),
        (
            "posts",
            f"{len(own.posts)} of {own.post.designation}, {tape.length(post.z1 - post.z0)} long, square both ends",
        ),
        ("door, clear straight across", tape.length(door.clear)),
        ("door, sill and head off the floor", f"{tape.length(door.sill_z)}, {tape.length(door.head_z)}"),
        ("leg rules", "do not apply: it stands on end"),
    ]


def _burning(pit: Pit) -> Rows:
    """How it burns, from the steady fire alone; the sheet FIRE has the bands."""
    from pitwright.fire.of_pit import outcome_of
    from pitwright.fire.report import UNSURE
    from pitwright.fire.result import NoFire

    tape, fire = pit.tape, outcome_of(pit)
    wanted = tape.temperature(pit.job.order.cook_temperature)
    if isinstance(fire, NoFire):
        return [("fire", f"will not hold {wanted}: see the findings")]
    costs = max(fire.draw, key=lambda step: step.spent)
    learned = pit.job.burns.own
    return [
        (f"wood to hold {wanted}", tape.mass_rate(fire.wood)),
        ("hottest to coldest on the grate", tape.temperature_difference(fire.spread)),
        ("draft, all rises", tape.pressure_draft(fire.draught)),
        ("dearest opening", f"{costs.name.split(':')[0]}, {100.0 * costs.spent / fire.draught:.0f} percent of it"),
        ("how sure", "fitted to a burn of this pit" if learned else UNSURE),
    ]


def rests_on_it(pit: Pit, name: str) -> list[str]:
    """Names of the figures made from one."""
    return sorted(r.name for r in pit.reasons.values() if name in r.rests_on)


def reason_record(pit: Pit, name: str) -> dict[str, Any]:
    """One reason with what it rests on (to the ground) and what rests on it."""
    reason = pit.reasons[name]
    return {
        "name": name,
        "value": reason.value,
        "text": pit.tape.figure(reason.value, reason.measure),
        "kind": reason.kind,
        "because": reason.because,
        "formula": reason.formula,
        "source": reason.source,
        "gave_way": reason.gave_way,
        "rests_on": [reason_record(pit, n) for n in reason.rests_on if n in pit.reasons],
        "rests_on_it": rests_on_it(pit, name),
    }


def reason_lines(pit: Pit, name: str) -> list[str]:
    """The chain as indented lines."""
    out = list(_chain(pit, pit.reasons[name], 0, set()))
    on_it = rests_on_it(pit, name)
    if on_it:
        out.append("resting on it: " + ", ".join(on_it))
    return out


def _chain(pit: Pit, reason: Reason, depth: int, seen: set[str]) -> Iterator[str]:
    pad = "  " * depth
    text = pit.tape.figure(reason.value, reason.measure)
    if reason.band is not None:
        low, high = (pit.tape.figure(b, reason.measure) for b in reason.band)
        text += f" ({low} to {high})"
    yield f"{pad}{reason.name} = {text}  [{reason.kind}] {reason.because}"
    if reason.formula:
        yield f"{pad}    by {reason.formula}"
    if reason.source:
        yield f"{pad}    source: {reason.source}"
    if reason.gave_way:
        yield f"{pad}    gave way: {reason.gave_way}"
    if reason.name in seen:
        return
    seen.add(reason.name)
    for name in reason.rests_on:
        if name in pit.reasons:
            yield from _chain(pit, pit.reasons[name], depth + 1, seen)
