"""What is to be said about a chamber door: too heavy, hits something, will not stay open, sprang when it was cut."""

from __future__ import annotations

import dataclasses
import math

from pitwright.findings import Severity
from pitwright.layout.draft import Draft
from pitwright.layout.model import DoorLayout, VesselLayout
from pitwright.layout.swing import Lift
from pitwright.tape import INCH, STANDARD_GRAVITY

STEPS = 24  # of a swing
ARM_CLEAR = 2.0 * INCH
SPRUNG = 1.0 / 16.0 * INCH  # a cut-out skin's chord off by more than this has sprung


def _find(
    draft: Draft,
    door: DoorLayout,
    code: str,
    severity: Severity,
    text: str,
    *,
    against: str = "",
    remedy: str = "",
    source: str = "",
    clearance: float | None = None,
) -> None:
    """A finding about one door; doors of which the same is to be said share one. `{}` in the text: which doors."""
    for i, finding in enumerate(draft.findings):
        doors = tuple(p for p in finding.pieces if p.startswith("door "))
        if finding.code == code and doors and finding.text == text.format(", ".join(doors)):
            both = (*doors, door.name)
            pieces = both + ((against,) if against else ())
            draft.findings[i] = dataclasses.replace(finding, text=text.format(", ".join(both)), pieces=pieces)
            return
    draft.find(
        code,
        severity,
        text.format(door.name),
        pieces=(door.name, against) if against else (door.name,),
        remedy=remedy,
        source=source,
        clearance=clearance,
    )


def check_door(draft: Draft, vessel: VesselLayout, door: DoorLayout, lift: Lift) -> None:
    """Weight, first touch, what holds it open."""
    rules, tape = draft.rules.doors, draft.tape
    limit = rules.pull_limit * STANDARD_GRAVITY
    if door.worst_pull > limit:
        _find(
            draft,
            door,
            "doors.heavy",
            "warn",
            f"{{}}: {tape.mass(door.weight)} each, {tape.force(door.worst_pull)} at the handle; the shop's limit is "
            f"{tape.force(limit)}.",
            remedy="Shorten the door, add a door, put a longer handle bar out, or fit a counterweight that works shut.",
            source="moment equilibrium about the pin",
        )
    first = min(door.touches, key=lambda t: t.travel)
    if first.travel < door.stop + rules.touch_clear - 1e-9:
        stop_at = max(first.travel - rules.touch_clear, 0.0)
        _find(
            draft,
            door,
            "doors.touch",
            "stop" if first.travel < door.stop else "warn",
            f"{{}}: the {first.moving} meets the {first.against} at {tape.angle(first.travel)}; it is to open "
            f"{tape.angle(door.stop)} and the shop wants {tape.angle(rules.touch_clear)} more.",
            against=first.against,
            clearance=first.travel - door.stop,
            remedy=(
                "Set the stack further behind the top line, move it past the door's end, or stop the door at "
                f"{tape.angle(stop_at)}."
                if first.against == "stack"
                else f"Stop the door at {tape.angle(stop_at)}."
            ),
        )
    if lift.over_centre == 0.0:
        _find(
            draft,
            door,
            "doors.opens_itself",
            "warn",
            f"{{}}: the counterweight outweighs the door shut ({tape.force(-door.first_pull)} at the handle): it opens by itself.",
            source="moment equilibrium about the pin",
            remedy="Take weight off, shorten the arm, or fit a latch.",
        )
    if rules.hold == "counterweight":
        _counterweight_findings(draft, vessel, door, lift)
    if rules.hold == "none" and door.hold_needed > 0.0:
        _find(
            draft,
            door,
            "doors.falls",
            "warn",
            f"{{}}: falls shut from its stop at {tape.angle(door.stop)}: hands are pinched and burnt that way.",
            remedy="Fit a prop, a latch or a counterweight.",
        )


def _counterweight_findings(draft: Draft, vessel: VesselLayout, door: DoorLayout, lift: Lift) -> None:
    rules, tape = draft.rules.doors, draft.tape
    bare = dataclasses.replace(lift, counter=0.0)
    if lift.moment(0.0) > bare.moment(0.0) + 1e-9:
        _find(
            draft,
            door,
            "doors.counterweight_heavier",
            "warn",
            f"{{}}: the counterweight makes the first lift heavier, {tape.force(bare.moment(0.0) / door.handle_radius)} without it, "
            f"{tape.force(door.first_pull)} with it. It only holds the door open.",
            source="moment equilibrium about the pin",
            remedy="It lightens a shut door only where the arm stands more than 90 degrees back when shut; use a prop or latch "
            "instead.",
        )
    falls = lift.moment(door.stop)
    if falls > 1e-9:
        have = door.hold_needed - falls
        _find(
            draft,
            door,
            "doors.will_not_stay",
            "warn",
            f"{{}}: will not stay open at {tape.angle(door.stop)}: it needs {tape.moment(door.hold_needed)} behind the pin, "
            f"the counterweight gives {tape.moment(max(have, 0.0))}.",
            remedy="Heavier weight, longer arm, or a prop.",
        )
    clear = _arm_clear(vessel, door, lift.arm_angle, rules.counterweight_arm)
    if clear < ARM_CLEAR:
        _find(
            draft,
            door,
            "doors.arm_hits_shell",
            "stop" if clear < 0.0 else "warn",
            "{}: the counterweight arm "
            + (
                f"runs {tape.length(-clear)} into the shell"
                if clear < 0.0
                else f"comes within {tape.length(clear)} of the shell: no room for the weight"
            )
            + " as the door opens.",
            clearance=clear,
            remedy="Keep the arm above the skin: a smaller angle at the open stop, or pins further out.",
        )


def _arm_clear(vessel: VesselLayout, door: DoorLayout, shut_angle: float, arm: float) -> float:
    """Least distance of the arm's outer half from the shell behind the pins, over the whole swing [m]."""
    centre, least = (0.0, vessel.centre_z), math.inf
    for i in range(STEPS + 1):
        angle = shut_angle + door.stop * i / STEPS
        for share in (0.5, 0.75, 1.0):
            y, z = door.pin[0] + share * arm * math.cos(angle), door.pin[1] + share * arm * math.sin(angle)
            if math.atan2(y, z - vessel.centre_z) < door.hinge_clock:
                least = min(least, math.dist((y, z), centre) - vessel.outer_radius)
    return least


def check_sprung(draft: Draft, door: DoorLayout, number: int) -> None:
    """What the measured chord of the cut-out skin says: how far it sprang, and which way to pull it."""
    got = next((d.chord for d in draft.job.measured.doors if d.door == number), None)
    if got is None:
        return
    off = got - door.chord
    if abs(off) <= SPRUNG:
        return
    tape = draft.tape
    draft.find(
        "doors.sprung",
        "warn",
        f"{door.name}: the cut-out skin measures {tape.length(got)} straight across, the opening {tape.length(door.chord)}: it "
        f"{'opened' if off > 0.0 else 'closed'} by {tape.length(abs(off))}.",
        pieces=(door.name,),
        clearance=-abs(off),
        remedy=f"{'Pull it in' if off > 0.0 else 'Spread it'} on its strongbacks by that much before the bands go on; cut the "
        "bands to the opening, not to the sprung skin.",
    )
