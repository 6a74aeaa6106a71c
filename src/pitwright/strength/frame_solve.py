"""Solving a frame in all its cases at once: stiffness once, then each case by the forces of its holds.

Method. The stiffness matrix K (12 x 12 beams, Timoshenko shear, end springs condensed, stiff arms) is factored once
with one joint clamped. Every load field and a unit force at every hold is solved with it: a table of who moves whom.
A case then has few unknowns: the holding forces and the rigid motion that frees the clamp, from (1) where a hold
presses, the joint lies on it; (2) all forces balance. Which one-way holds press is found in `frame_contact`. Holding
forces that balance make the clamp's own force nought, so the answer is that of the free frame on its holds, not an
approximation.

The kept library for frames (PyNiteFEA) is the oracle in the tests; a pit wants some 25 cases with lift-off, each with
its own supports, and that library takes about 16 ms for each solve on a quiet machine and 0.6 s to load: over the time
there is while a figure is dragged.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pitwright.errors import LayoutError
from pitwright.parts import Vec, cross
from pitwright.strength.frame import Beam, Case, Frame
from pitwright.strength.frame_contact import HoldTable, holding

Array = NDArray[np.float64]
STATIONS = 9
"""Cuts along each member at which its forces are given, ends included."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseResult:
    """One case, solved.

    reactions     force of each hold along its direction [N]; nought where it lifted off
    lifted        one-way holds that carry nothing
    movement      of every joint: three shifts, three turns [m, rad], in the order of `Solved.joints`
    forces        [member, cut, (axial, shear x, shear y, torsion, moment x, moment y)], as `members.Force` [N, N m]
    out_of_balance  what is left of force and moment balance of the whole pit, over its weight (and weight x 1 m)
    stands        false where no set of holding forces balances: it falls, slides or swings
    """

    name: str
    reactions: Mapping[str, float]
    lifted: tuple[str, ...]
    movement: Array
    forces: Array
    out_of_balance: float
    stands: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """All cases of a frame.

    places  of the joints, by name [m]; axes: of each beam, rows along, across and upright, in world axes
    """

    joints: tuple[str, ...]
    beams: tuple[str, ...]
    cases: Mapping[str, CaseResult]
    places: Mapping[str, Vec]
    axes: Array

    def shift(self, case: str, joint: str, arm: Vec = (0.0, 0.0, 0.0)) -> Vec:
        """How far a point on a stiff arm from a joint moves [m]."""
        x, y, z, rx, ry, rz = self.cases[case].movement[self.joints.index(joint)].tolist()
        sx, sy, sz = cross((rx, ry, rz), arm)
        return x + sx, y + sy, z + sz

    def turn(self, case: str, joint: str) -> Vec:
        """How far a joint turns [rad]."""
        u = self.cases[case].movement[self.joints.index(joint)]
        return float(u[3]), float(u[4]), float(u[5])


# ---------------------------------------------------------------- members


@dataclass(frozen=True, slots=True)
class _Members:
    """All members as arrays: ends, length, turn to own axes, own stiffness, own load of a unit field."""

    ends: NDArray[np.int64]  # (m, 2)
    length: Array  # (m,)
    axes: Array  # (m, 3, 3) rows: along, across, upright
    to_own: Array  # (m, 12, 12) joint movement in world axes -> member end movement in own axes
    own: Array  # (m, 12, 12) stiffness, springs condensed
    load: Array  # (m, 3, 12) equivalent end loads of a unit field along x, y, z
    mass: Array  # (m,)


def _axes(b: Beam, run: Vec) -> Array:
    share = b.up[0] * run[0] + b.up[1] * run[1] + b.up[2] * run[2]
    upright = (b.up[0] - run[0] * share, b.up[1] - run[1] * share, b.up[2] - run[2] * share)
    long, whole = math.hypot(*upright), math.hypot(*b.up)
    if long < 1e-6 * whole or whole == 0.0:
        raise LayoutError(
            f"member {b.name} runs along its own upright",
            field=b.name,
            value=b.up,
            allowed="a direction across the member",
        )
    upright = (upright[0] / long, upright[1] / long, upright[2] / long)
    return np.array([run, cross(upright, run), upright])


def _cross_matrix(v: Sequence[float] | Array) -> Array:
    return np.array([[0.0, -v[2], v[1]], [v[2], 0.0, -v[0]], [-v[1], v[0], 0.0]])


def _cross_matrices(v: Array) -> Array:
    """The same for many, (m, 3) -> (m, 3, 3)."""
    out = np.zeros((len(v), 3, 3))
    out[:, 2, 1], out[:, 0, 2], out[:, 1, 0] = v[:, 0], v[:, 1], v[:, 2]
    out[:, 1, 2], out[:, 2, 0], out[:, 0, 1] = -v[:, 0], -v[:, 1], -v[:, 2]
    return out


def _stiffness(b: Beam, length: float) -> Array:
    e, g = b.stiffness, b.shear_stiffness
    k = np.zeros((12, 12))
    k[0, 0] = k[6, 6] = e * b.area / length
    k[0, 6] = k[6, 0] = -e * b.area / length
    k[3, 3] = k[9, 9] = g * b.j / length
    k[3, 9] = k[9, 3] = -g * b.j / length
    # bending: (shift, turn, second moment, shear area, sign of the turn)
    for v, r, inertia, shear, sign in ((1, 5, b.iy, b.shear_area_x, 1.0), (2, 4, b.ix, b.shear_area_y, -1.0)):
        phi = 12.0 * e * inertia / (g * shear * length**2) if math.isfinite(shear) else 0.0
        c = e * inertia / (length**3 * (1.0 + phi))
        near, far = (4.0 + phi) * length**2 * c, (2.0 - phi) * length**2 * c
        s = sign * 6.0 * length * c
        at = np.ix_([v, r, v + 6, r + 6], [v, r, v + 6, r + 6])
        k[at] += np.array([[12 * c, s, -12 * c, s], [s, near, -s, far], [-12 * c, -s, 12 * c, -s], [s, far, -s, near]])
    return k


def _own_load(axes: Array, mass: float, length: float) -> Array:
    """Equivalent end loads of the member's own weight in a unit field along each world axis."""
    out = np.zeros((3, 12))
    for i in range(3):
        w = mass * axes[:, i]
        half, twelfth = w * length / 2.0, w * length**2 / 12.0
        out[i] = (*half, 0.0, -twelfth[2], twelfth[1], *half, 0.0, twelfth[2], -twelfth[1])
    return out


def _condense(b: Beam, k: Array, load: Array) -> tuple[Array, Array]:
    """Turning springs between member ends and joints, taken into the member's stiffness and loads."""
    springs = {i + 3: s for i, s in enumerate(b.spring_start)} | {i + 9: s for i, s in enumerate(b.spring_end)}
    soft = [i for i, s in springs.items() if math.isfinite(s)]
    if not soft:
        return k, load
    s = np.diag([springs[i] for i in soft])
    hard = [i for i in range(12) if i not in soft]
    inside = k[np.ix_(soft, soft)] + s
    try:
        back = np.linalg.inv(inside)
    except np.linalg.LinAlgError:
        raise LayoutError(
            f"member {b.name} is free to spin on its ends", field=b.name, value=b.spring_start, allowed="one end held"
        ) from None
    out, loads = np.zeros_like(k), np.zeros_like(load)
    coupling = k[np.ix_(hard, soft)]
    out[np.ix_(hard, hard)] = k[np.ix_(hard, hard)] - coupling @ back @ coupling.T
    out[np.ix_(hard, soft)] = coupling @ back @ s
    out[np.ix_(soft, hard)] = out[np.ix_(hard, soft)].T
    out[np.ix_(soft, soft)] = s - s @ back @ s
    loads[:, hard] = load[:, hard] - load[:, soft] @ back @ coupling.T
    loads[:, soft] = load[:, soft] @ back @ s
    return out, loads


def _members(frame: Frame, index: Mapping[str, int], places: Array) -> _Members:
    m = len(frame.beams)
    ends = np.array([(index[b.start], index[b.end]) for b in frame.beams], dtype=np.int64).reshape(m, 2)
    mass = np.array([b.mass_per_length for b in frame.beams])
    axes, to_own = np.zeros((m, 3, 3)), np.zeros((m, 12, 12))
    own, load = np.zeros((m, 12, 12)), np.zeros((m, 3, 12))
    arms = np.array([(b.arm_start, b.arm_end) for b in frame.beams], dtype=float).reshape(m, 2, 3)
    runs = places[ends[:, 1]] + arms[:, 1] - places[ends[:, 0]] - arms[:, 0]
    length = np.sqrt((runs**2).sum(axis=1))
    for i, b in enumerate(frame.beams):
        if length[i] < 1e-6:
            raise LayoutError(f"member {b.name} has no length", field=b.name, value=float(length[i]), allowed="over 0")
        x, y, z = (runs[i] / length[i]).tolist()
        axes[i] = _axes(b, (x, y, z))
    for end in (0, 1):
        at = 6 * end
        to_own[:, at : at + 3, at : at + 3] = axes
        to_own[:, at : at + 3, at + 3 : at + 6] = -axes @ _cross_matrices(arms[:, end])
        to_own[:, at + 3 : at + 6, at + 3 : at + 6] = axes
    for i, b in enumerate(frame.beams):
        own[i], load[i] = _condense(b, _stiffness(b, length[i]), _own_load(axes[i], mass[i], length[i]))
    return _Members(ends, length, axes, to_own, own, load, mass)


# ---------------------------------------------------------------- the whole frame


def _rigid(places: Array, about: Array) -> Array:
    """Six rigid motions of all joints about a point, (6 n, 6)."""
    n = len(places)
    out = np.zeros((n, 6, 6))
    out[:, :3, :3] = out[:, 3:, 3:] = np.eye(3)
    out[:, :3, 3:] = -_cross_matrices(places - about)
    return out.reshape(6 * n, 6)


def _fields(frame: Frame, members: _Members, index: Mapping[str, int], dofs: NDArray[np.int64], size: int) -> Array:
    """Loads of all weights in a unit field along x, y, z, (size, 3)."""
    out = np.zeros((size, 3))
    world = np.einsum("mfk,mkd->mfd", members.load, members.to_own)
    for i in range(3):
        np.add.at(out[:, i], dofs.ravel(), world[:, i].ravel())
    for w in frame.weights:
        at = 6 * index[w.joint]
        out[at : at + 3] += w.mass * np.eye(3)
        out[at + 3 : at + 6] += w.mass * _cross_matrix(w.arm)
    return out


class Ready:
    """A frame with its stiffness set up once, to be solved for any cases.

    Raises LayoutError where a joint hangs on nothing.
    """

    def __init__(self, frame: Frame):
        self.frame = frame
        self._index = {j.name: i for i, j in enumerate(frame.joints)}
        self._places = np.array([(j.x, j.y, j.z) for j in frame.joints])
        size = 6 * len(self._places)
        self._members = _members(frame, self._index, self._places)
        self._dofs = (6 * self._members.ends[:, :, None] + np.arange(6)).reshape(-1, 12)
        self._whole = np.zeros((size, size))
        to_own = self._members.to_own
        world = np.swapaxes(to_own, 1, 2) @ self._members.own @ to_own
        np.add.at(self._whole, (self._dofs[:, :, None], self._dofs[:, None, :]), world)
        self._holds = {h.name: i for i, h in enumerate(frame.holds)}
        unit = np.zeros((size, len(frame.holds)))
        for i, h in enumerate(frame.holds):
            at, long = 6 * self._index[h.joint], math.hypot(*h.direction)
            way = (h.direction[0] / long, h.direction[1] / long, h.direction[2] / long)
            unit[at : at + 3, i] = way
            unit[at + 3 : at + 6, i] = cross(h.arm, way)
        self._fields = _fields(frame, self._members, self._index, self._dofs, size)
        moved = _clamped(frame, self._whole, np.hstack([unit, self._fields]))
        free, self._fallen = moved[:, : len(frame.holds)], moved[:, len(frame.holds) :]
        self._table = HoldTable(
            table=unit.T @ free,
            free=free,
            rigid=_rigid(self._places, self._places.mean(axis=0)),
            unit=unit,
            give=np.array([h.give for h in frame.holds]),
        )

    def solve(self, cases: Sequence[Case]) -> Solved:
        """Every case."""
        ways = np.array([c.field for c in cases], dtype=float).reshape(-1, 3).T
        extra = self._extra(cases)
        loads, moved = self._fields @ ways + extra, self._fallen @ ways
        pushed = [i for i, c in enumerate(cases) if c.loads]
        if pushed:
            moved[:, pushed] += _clamped(self.frame, self._whole, extra[:, pushed])
        names = tuple(b.name for b in self.frame.beams)
        out = {c.name: self._one(c, loads[:, i], moved[:, i]) for i, c in enumerate(cases)}
        places = {j.name: (j.x, j.y, j.z) for j in self.frame.joints}
        return Solved(joints=tuple(self._index), beams=names, cases=out, places=places, axes=self._members.axes)

    def _extra(self, cases: Sequence[Case]) -> Array:
        """Forces and moments of each case on top of its field."""
        extra = np.zeros((len(self._whole), len(cases)))
        for i, case in enumerate(cases):
            for load in case.loads:
                if load.joint not in self._index:
                    raise LayoutError("a load on no joint", field=case.name, value=load.joint, allowed="a joint's name")
                at = 6 * self._index[load.joint]
                extra[at : at + 3, i] += load.force
                extra[at + 3 : at + 6, i] += load.moment
        return extra

    def _one(self, case: Case, load: Array, moved: Array) -> CaseResult:
        table, frame = self._table, self.frame
        for name in (*case.holds, *case.gaps):
            if name not in self._holds:
                raise LayoutError("no such hold", field=case.name, value=name, allowed=", ".join(self._holds))
        active = [self._holds[n] for n in case.holds]
        one_way = np.array([frame.holds[j].one_way for j in active], dtype=bool)
        gaps = np.array([case.gaps.get(n, 0.0) for n in case.holds])
        forces, q, stands = holding(table, active, one_way, gaps, load, moved)
        movement = moved + table.free[:, active] @ forces + table.rigid @ q
        acting = load + table.unit[:, active] @ forces
        weight = max(float(np.abs(load.reshape(-1, 6)[:, :3]).sum()), float(np.abs(forces).sum()), 1e-9)
        return CaseResult(
            name=case.name,
            reactions={n: float(f) for n, f in zip(case.holds, forces)},
            lifted=tuple(n for n, f, w in zip(case.holds, forces, one_way) if w and f <= 0.0),
            movement=movement.reshape(-1, 6),
            forces=_cut_forces(self._members, case, movement[self._dofs]),
            out_of_balance=_left_over(acting, self._places) / weight,
            stands=stands,
        )


def solve(frame: Frame, cases: Sequence[Case]) -> Solved:
    """Every case of the frame."""
    return Ready(frame).solve(cases)


def _clamped(frame: Frame, whole: Array, right: Array) -> Array:
    """Movements with the first joint clamped; names a joint that hangs on nothing."""
    out = np.zeros_like(right)
    free = whole[6:, 6:]
    scale = np.sqrt(np.maximum(np.diag(free), 1e-300))
    even = free / scale[:, None] / scale[None, :]
    try:
        np.linalg.cholesky(even + 0.0)
        out[6:] = np.linalg.solve(even, right[6:] / scale[:, None]) / scale[:, None]
        loose = not np.all(np.isfinite(out))
    except np.linalg.LinAlgError:
        loose = True
    if loose:
        values, vectors = np.linalg.eigh(even)
        worst = int(np.argmax(np.abs(vectors[:, 0] / scale)))
        raise LayoutError(
            "the frame is loose: a joint can move without bending anything",
            field=frame.joints[1 + worst // 6].name,
            value=float(values[0]),
            allowed="every joint held by its members",
            remedy="Join the member that should hold it, or weld an end that is free to turn.",
        )
    return out


def _left_over(acting: Array, places: Array) -> float:
    """Sum of all forces, and of their moments about the world's origin, that acts on the free frame [N, N m]."""
    per = acting.reshape(-1, 6)
    force = per[:, :3].sum(axis=0)
    moment = (per[:, 3:] + np.cross(places, per[:, :3])).sum(axis=0)
    return float(max(np.abs(force).max(), np.abs(moment).max()))


def _cut_forces(members: _Members, case: Case, movement: Array) -> Array:
    """Forces on cuts along every member, (m, STATIONS, 6), tension and the section's axes as in `members.Force`."""
    accelerate = np.array(case.field, dtype=float)
    ends = np.einsum("mkd,md->mk", members.to_own, movement)
    p = np.einsum("mkl,ml->mk", members.own, ends) - np.einsum("f,mfk->mk", accelerate, members.load)
    w = members.mass[:, None] * (members.axes @ accelerate)
    s = members.length[:, None] * np.linspace(0.0, 1.0, STATIONS)
    p, w = p[:, :, None], w[:, :, None]
    out = np.empty((len(s), STATIONS, 6))
    out[:, :, 0] = -p[:, 0] - w[:, 0] * s
    out[:, :, 1] = -p[:, 1] - w[:, 1] * s
    out[:, :, 2] = -p[:, 2] - w[:, 2] * s
    out[:, :, 3] = -np.broadcast_to(p[:, 3], s.shape)
    out[:, :, 4] = -p[:, 4] - s * p[:, 2] - s**2 * w[:, 2] / 2.0
    out[:, :, 5] = -p[:, 5] + s * p[:, 1] + s**2 * w[:, 1] / 2.0
    return out
