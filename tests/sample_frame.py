"""Frames for tests and benchmarks: a skid of any number of leg sets, and the same frame in two other codes."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from typing import Any

import numpy as np

from pitwright.stock import find_profile
from pitwright.strength import frame_cases
from pitwright.strength.frame import Beam, Case, Frame, Hold, Joint, Load, Weight, beam_of
from pitwright.strength.frame_cases import FootPoint, LiftPoint
from pitwright.strength.members import Member
from pitwright.strength.shell import ShellPatch
from pitwright.strength.shell_section import bending_about, shell_section, torsion_over
from pitwright.strength.steel import SHEAR_STIFFNESS, STIFFNESS, TUBE_STEEL


@dataclass(frozen=True, kw_only=True)
class Skid:
    frame: Frame
    feet: tuple[FootPoint, ...]
    forks: tuple[LiftPoint, ...]
    lugs: tuple[LiftPoint, ...]
    cases: tuple[Case, ...]
    members: dict[str, Member]


def skid(
    *,
    sets: tuple[float, ...] = (0.2, 1.05, 1.95),
    length: float = 2.13,
    radius: float = 0.38,
    wall: float = 0.00635,
    centre: float = 0.89,
    half_spread: float = 0.39,
    psi: float = math.radians(45),
    leg: str = "3x3x3/16",
    rail: str = "3x3x3/16",
    crosses: bool = True,
    door_arc: float = 1.35,
    mirror: bool = False,
    roll: float = 8e4,
    fire: float = 170.0,
    rail_height: float = 0.04,
) -> Skid:
    """A vessel on leg sets on two rails; a door on the working side over the middle; a firebox off the fire end."""
    side = -1.0 if mirror else 1.0
    legs, rails = find_profile(leg), find_profile(rail)
    stations = sorted({*sets, 0.0, length, 0.25 * length, 0.75 * length})
    pockets = (0.35 * length, 0.75 * length)
    joints = [Joint(name=f"V{i}", x=x, y=0.0, z=centre) for i, x in enumerate(stations)]
    beams: list[Beam] = []
    whole, cut = shell_section(radius, wall), shell_section(radius, wall, door_arc)
    clock = math.radians(65) * side
    for i, (a, b) in enumerate(itertools.pairwise(stations)):
        opened = a >= 0.24 * length and b <= 0.76 * length
        section = cut if opened else whole
        up, across, _ = bending_about(section, clock)
        beams.append(
            Beam(
                name=f"vessel {i}", piece="vessel", start=f"V{i}", end=f"V{i + 1}", area=section.area, ix=up, iy=across,
                j=torsion_over(section, 0.5 * length, STIFFNESS, SHEAR_STIFFNESS), mass_per_length=section.area * 7850.0,
                shear_area_x=section.area / 2.0, shear_area_y=section.area / 2.0,
            )
        )  # fmt: skip
    contact = (radius * math.sin(psi), -radius * math.cos(psi))
    feet, members = [], {}
    ends = sorted({*sets, *pockets, -0.1, length + 0.35})
    for n, y in (("F", half_spread * side), ("B", -half_spread * side)):
        joints += [Joint(name=f"R{n}{i}", x=x, y=y, z=rail_height) for i, x in enumerate(ends)]
        for i in range(len(ends) - 1):
            name = f"rail {n}{i}"
            beams.append(beam_of(name, f"rail {n}", f"R{n}{i}", f"R{n}{i + 1}", rails))
            members[name] = Member(piece=f"rail {n}", section=rails, steel=TUBE_STEEL, length=ends[i + 1] - ends[i])
    for s, x in enumerate(sets):
        for n, out in (("F", side), ("B", -side)):
            joint = f"R{n}{ends.index(x)}"
            name = f"leg {s}{n}"
            arm = (0.0, out * contact[0], contact[1])
            beams.append(
                beam_of(
                    name, f"L{s}", joint, f"V{stations.index(x)}", legs, up=(1.0, 0.0, 0.0), arm_end=arm,
                    spring_end=(math.inf, math.inf, roll),
                )
            )  # fmt: skip
            members[name] = Member(piece=f"L{s}", section=legs, steel=TUBE_STEEL, length=0.62, k_x=1.2, k_y=1.2)
            feet.append(FootPoint(name=f"foot {s}{n}", joint=joint, leg_set=f"set {s}", x=x, y=out * half_spread))
    cross_at = [i for i, x in enumerate(ends) if x not in pockets] if crosses else [0, len(ends) - 1]
    for i in cross_at:
        name = f"cross {i}"
        beams.append(beam_of(name, "cross", f"RF{i}", f"RB{i}", rails))
        members[name] = Member(piece="cross", section=rails, steel=TUBE_STEEL, length=2 * half_spread)
    weights = [
        Weight(joint="V0", mass=fire, arm=(-0.3, 0.0, -0.4)),
        Weight(joint=f"V{len(stations) - 1}", mass=60.0, arm=(0.1, 0.0, 0.4)),
        Weight(joint=f"V{len(stations) // 2}", mass=90.0, arm=(0.0, 0.2 * side, 0.0)),
    ]
    mass = sum(w.mass for w in weights)
    moment = sum(w.mass * (next(j.x for j in joints if j.name == w.joint) + w.arm[0]) for w in weights)
    places = {j.name: np.array([j.x, j.y, j.z]) for j in joints}
    for b in beams:
        ends_of = places[b.start] + b.arm_start, places[b.end] + b.arm_end
        m = b.mass_per_length * float(np.linalg.norm(ends_of[1] - ends_of[0]))
        mass, moment = mass + m, moment + m * float(ends_of[0][0] + ends_of[1][0]) / 2.0
    middle = moment / mass
    forks = tuple(
        LiftPoint(name=f"fork {i}{n}", joint=f"R{n}{ends.index(x)}", x=x, y=half_spread * o, z=rail_height)
        for i, x in enumerate(pockets)
        for n, o in (("F", side), ("B", -side))
    )
    lug_ends = (0, len(ends) - 1)
    lugs = tuple(
        LiftPoint(name=f"lug {i}{n}", joint=f"R{n}{i}", x=ends[i], y=half_spread * o, z=rail_height)
        for i in lug_ends
        for n, o in (("F", side), ("B", -side))
    )
    hook = (middle, _balance_y(beams, weights, places, mass), 3.0)
    hitch = f"RF{len(ends) - 1}"
    down = [Hold(name=f"{f.name} held down", joint=f.joint, direction=frame_cases.UP, one_way=False) for f in feet]
    road = (*down, *frame_cases.road_holds(feet))
    frame = Frame(
        joints=tuple(joints),
        beams=tuple(beams),
        holds=(
            *frame_cases.floor_holds(feet),
            *frame_cases.fork_holds(forks),
            *frame_cases.sling_holds(lugs, hook),
            *frame_cases.drag_holds(hitch, feet[0], (1.0, 0.0, 0.0)),
            *road,
        ),
        weights=tuple(weights),
    )
    cases = (
        *frame_cases.floor_cases(feet),
        frame_cases.fork_case("forks from the side", forks),
        *frame_cases.sling_cases(lugs),
        *frame_cases.road_cases([h.name for h in road]),
    )
    return Skid(frame=frame, feet=tuple(feet), forks=forks, lugs=lugs, cases=cases, members=members)


def _balance_y(beams: list[Beam], weights: list[Weight], places: dict[str, Any], mass: float) -> float:
    total = sum(w.mass * (places[w.joint][1] + w.arm[1]) for w in weights)
    for b in beams:
        ends = places[b.start] + b.arm_start, places[b.end] + b.arm_end
        total += b.mass_per_length * float(np.linalg.norm(ends[1] - ends[0])) * float(ends[0][1] + ends[1][1]) / 2.0
    return float(total / mass)


def random_pit(seed: int) -> Skid:
    """A pit of random size, seeded."""
    r = np.random.default_rng(seed)
    length = float(r.uniform(1.2, 4.0))
    count = int(r.integers(2, 5))
    sets = tuple(float(v) for v in np.linspace(0.12 * length, 0.93 * length, count) + r.uniform(-0.03, 0.03, count))
    radius = float(r.uniform(0.25, 0.6))
    return skid(
        sets=sets,
        length=length,
        radius=radius,
        wall=float(r.uniform(0.004, 0.01)),
        centre=radius + float(r.uniform(0.3, 0.6)),
        half_spread=radius * float(r.uniform(0.8, 1.2)),
        psi=math.radians(float(r.uniform(30, 55))),
        leg=str(r.choice(["2x2x3/16", "3x3x3/16", "3x3x1/4", "4x4x1/4"])),
        rail=str(r.choice(["2x2x1/4", "3x3x3/16", "4x4x1/4", "4x2x1/4"])),
        crosses=bool(r.integers(0, 2)),
        door_arc=float(r.uniform(0.8, 2.0)),
        mirror=bool(r.integers(0, 2)),
        fire=float(r.uniform(50, 300)),
        roll=math.inf,
    )


def held(pit: Skid) -> tuple[Frame, Case]:
    """The same frame on its feet held up and just enough sideways, with its weight and a push: one case both codes do."""
    far = max(pit.feet, key=lambda f: f.x)
    holds = [Hold(name=f.name, joint=f.joint, direction=(0.0, 0.0, 1.0), one_way=False) for f in pit.feet]
    first = pit.feet[0]
    holds += [
        Hold(name="a", joint=first.joint, direction=(1.0, 0.0, 0.0), one_way=False),
        Hold(name="b", joint=first.joint, direction=(0.0, 1.0, 0.0), one_way=False),
        Hold(name="c", joint=far.joint, direction=(0.0, 1.0, 0.0), one_way=False),
    ]
    frame = Frame(joints=pit.frame.joints, beams=pit.frame.beams, holds=tuple(holds), weights=pit.frame.weights)
    push = Load(joint="V1", force=(300.0, 500.0, -200.0), moment=(50.0, -80.0, 120.0))
    return frame, Case(name="held", holds=tuple(h.name for h in holds), field=(1.0, 2.0, -9.80665), loads=(push,))


def in_opensees(frame: Frame, case: Case) -> tuple[dict[str, np.ndarray], dict[str, np.ndarray]]:
    """Movements of all joints and the start and end forces of all members (own axes), by OpenSees."""
    import openseespy.opensees as ops

    ops.wipe()
    ops.model("basic", "-ndm", 3, "-ndf", 6)
    number = {j.name: i + 1 for i, j in enumerate(frame.joints)}
    places = {j.name: np.array([j.x, j.y, j.z]) for j in frame.joints}
    for j in frame.joints:
        ops.node(number[j.name], j.x, j.y, j.z)
    fixed: dict[str, list[int]] = {}
    for h in frame.holds:
        fixed.setdefault(h.joint, [0] * 6)[[abs(d) > 0.5 for d in h.direction].index(True)] = 1
    for joint, flags in fixed.items():
        ops.fix(number[joint], *flags)
    ops.timeSeries("Linear", 1)
    ops.pattern("Plain", 1, 1)
    field = np.array(case.field)
    axes = {}
    for i, b in enumerate(frame.beams):
        run = places[b.end] + b.arm_end - places[b.start] - b.arm_start
        along = run / np.linalg.norm(run)
        up = np.array(b.up) - along * float(np.array(b.up) @ along)
        up /= np.linalg.norm(up)
        # OpenSees: vecxz lies in the local x-z plane; its z is our upright, its y our across
        ends, arms = [number[b.start], number[b.end]], [b.arm_start, b.arm_end]
        for end, springs in enumerate((b.spring_start, b.spring_end)):
            if any(
                map(math.isfinite, springs)
            ):  # the member ends at a node of its own, on springs at a stiff arm's end
                at = places[(b.start, b.end)[end]] + arms[end]
                spare = len(number) + 4 * i + 2 * end + 1
                for node in (spare, spare + 1):
                    ops.node(node, *map(float, at))
                ops.rigidLink("beam", ends[end], spare)
                first = 10 * (2 * i + end) + 1
                for k, stiff in enumerate((1e13, 1e13, 1e13, *springs)):
                    ops.uniaxialMaterial("Elastic", first + k, float(stiff if math.isfinite(stiff) else 1e13))
                across_ = np.cross(up, along)
                ops.element(
                    "zeroLength", len(frame.beams) + 2 * i + end + 1, spare, spare + 1, "-mat", *range(first, first + 6),
                    "-dir", 1, 2, 3, 4, 5, 6, "-orient", *map(float, along), *map(float, across_),
                )  # fmt: skip
                ends[end], arms[end] = spare + 1, (0.0, 0.0, 0.0)
        ops.geomTransf("Linear", i + 1, *map(float, up), "-jntOffset", *map(float, arms[0]), *map(float, arms[1]))
        ends = (i + 1, *ends)
        if math.isinf(b.shear_area_x):
            section = (b.area, b.stiffness, b.shear_stiffness, b.j, b.ix, b.iy)
            ops.element("elasticBeamColumn", *ends, *section, i + 1)
        else:  # this element leaves stiff arms out: only for members without
            assert not any((*b.arm_start, *b.arm_end))
            section = (b.stiffness, b.shear_stiffness, b.area, b.j, b.ix, b.iy, b.shear_area_x, b.shear_area_y)
            ops.element("ElasticTimoshenkoBeam", *ends, *section, i + 1)
        across = np.cross(up, along)
        w = b.mass_per_length * np.array([field @ across, field @ up, field @ along])
        ops.eleLoad("-ele", i + 1, "-type", "-beamUniform", float(w[0]), float(w[1]), float(w[2]))
        axes[b.name] = np.vstack([along, across, up])
    total = {name: np.zeros(6) for name in number}
    for weight in frame.weights:
        total[weight.joint] += [*(weight.mass * field), *np.cross(weight.arm, weight.mass * field)]
    for load in case.loads:
        total[load.joint] += [*load.force, *load.moment]
    for name, load in total.items():
        ops.load(number[name], *map(float, load))
    ops.system("BandGeneral")
    ops.numberer("RCM")
    ops.constraints("Transformation")
    ops.integrator("LoadControl", 1.0)
    ops.algorithm("Linear")
    ops.analysis("Static", "-noWarnings")
    assert ops.analyze(1) == 0
    moved = {name: np.array(ops.nodeDisp(n)) for name, n in number.items()}
    forces = {b.name: np.array(ops.eleResponse(i + 1, "localForce")) for i, b in enumerate(frame.beams)}
    ops.wipe()
    return moved, forces


def in_pynite(frame: Frame, case: Case) -> dict[str, np.ndarray]:
    """Movements of all joints by PyNite; stiff arms become very stiff members, shear movement is left out."""
    from Pynite import FEModel3D

    model = FEModel3D()
    model.add_material("steel", STIFFNESS, SHEAR_STIFFNESS, 0.3, 7850.0)
    places = {j.name: np.array([j.x, j.y, j.z]) for j in frame.joints}
    for j in frame.joints:
        model.add_node(j.name, j.x, j.y, j.z)
    model.add_section("stiff", 10.0, 10.0, 10.0, 10.0)
    field = np.array(case.field)
    for b in frame.beams:
        ends = []
        for joint, arm, tag in ((b.start, b.arm_start, "s"), (b.end, b.arm_end, "e")):
            if any(arm):
                node = f"{b.name} {tag}"
                model.add_node(node, *map(float, places[joint] + arm))
                model.add_member(f"{node} arm", joint, node, "steel", "stiff")
                ends.append(node)
            else:
                ends.append(joint)
        run = places[b.end] + b.arm_end - places[b.start] - b.arm_start
        along = run / np.linalg.norm(run)
        up = np.array(b.up) - along * float(np.array(b.up) @ along)
        up /= np.linalg.norm(up)
        model.add_section(b.name, b.area, b.ix, b.iy, b.j)
        model.add_member(b.name, *ends, "steel", b.name, rotation=_pynite_turn(along, up))
        for direction, value in zip(("FX", "FY", "FZ"), b.mass_per_length * field):
            model.add_member_dist_load(b.name, direction, float(value), float(value))
    for weight in frame.weights:
        force = weight.mass * field
        moment = np.cross(weight.arm, force)
        for direction, value in zip(("FX", "FY", "FZ", "MX", "MY", "MZ"), (*force, *moment)):
            model.add_node_load(weight.joint, direction, float(value))
    for load in case.loads:
        for direction, value in zip(("FX", "FY", "FZ", "MX", "MY", "MZ"), (*load.force, *load.moment)):
            model.add_node_load(load.joint, direction, float(value))
    fixed: dict[str, list[bool]] = {}
    for h in frame.holds:
        fixed.setdefault(h.joint, [False] * 3)[[abs(d) > 0.5 for d in h.direction].index(True)] = True
    for joint, flags in fixed.items():
        model.def_support(joint, *flags, False, False, False)
    model.analyze_linear()
    name = "Combo 1"
    out = {}
    for j in frame.joints:
        n = model.nodes[j.name]
        out[j.name] = np.array([n.DX[name], n.DY[name], n.DZ[name], n.RX[name], n.RY[name], n.RZ[name]])
    return out


def _pynite_turn(along: np.ndarray, up: np.ndarray) -> float:
    """Turn about its own axis [degrees] that brings PyNite's local y onto our `across`, its z onto our upright."""
    # PyNite's own axes before turning: y is up (global Y) for slanting members, z = x cross y
    if np.allclose(np.abs(along), [0, 1, 0]):
        y = np.array([-1.0, 0.0, 0.0]) if along[1] > 0 else np.array([1.0, 0.0, 0.0])
        z = np.array([0.0, 0.0, 1.0])
    elif np.isclose(along[1], 0.0):
        y = np.array([0.0, 1.0, 0.0])
        z = np.cross(along, y)
    else:
        proj = np.array([along[0], 0.0, along[2]])
        z = np.cross(proj, along) if along[1] > 0 else np.cross(along, proj)
        z /= np.linalg.norm(z)
        y = np.cross(z, along)
    across = np.cross(up, along)
    return math.degrees(math.atan2(float(across @ z), float(across @ y)))


def leg_patch() -> ShellPatch:
    """A 3 in leg on a quarter-inch wall."""
    return ShellPatch(radius=0.379, wall=0.00635, length=2.13, station=0.2, along=0.0762, around=0.0762)
