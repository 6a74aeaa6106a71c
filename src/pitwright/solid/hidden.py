"""Hidden-line pictures: what of every edge is seen from one side, as plain lines in the plane of the view.

Every edge is tested against every face that may lie in front of it: over the face's shadow, and behind its plane by
more than a skin that takes up facets and touching pieces. Both are straight-line tests, so what is hidden comes out as
exact stretches of each edge, not as pixels. Sharp edges and true outlines only; facet lines never show.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from pitwright.parts import Head, Part, Placement, Point2
from pitwright.solid.features import Features, features_of, head_outline
from pitwright.solid.tidy import straightened, without_repeats
from pitwright.solid.view import View

Array = NDArray[np.float64]
Index = NDArray[np.int64]
Stretch = tuple[float, float]

SKIN = 0.8e-3
"""How far an edge may lie behind a face and still count as on it [m]."""
_OUTLINE_SKIN = 4e-3  # a head's true outline against the facets of the same head
_EDGE_ON = 1e-6
_GRAIN = 1e-6
_DOT = 1e-7
_CHUNK = 400_000
_SHORT = 1e-3
_TABLE = 40_000_000


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a picture: points [m] in the plane of the view, and the mark of the piece it belongs to."""

    points: tuple[Point2, ...]
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Lines seen and lines hidden, and the corners of the box round them [m]; (0, 0) is the pit's origin."""

    visible: tuple[Line, ...]
    hidden: tuple[Line, ...]
    low: Point2
    high: Point2


def hidden_lines(parts: Iterable[Part], view: View, *, clear: Collection[str] = (), hidden: bool = True) -> Picture:
    """The picture of parts from one side.

    clear   marks of pieces that hide nothing (glass, as it were)
    hidden  whether the hidden lines are wanted too; a line under a seen one is left out
    """
    scene = _gather(parts, view, clear)
    shut = _shut(scene)
    seen = _strung(scene, shut, False)
    unseen = _strung(scene, shut, True) if hidden else []
    seen = [(straightened(points), mark) for points, mark in seen]
    unseen = without_repeats([(straightened(points), mark) for points, mark in unseen], [p for p, _ in seen])
    everything = [points for points, _ in (*seen, *unseen)]
    box = np.concatenate(everything) if everything else np.zeros((1, 2))
    (x0, y0), (x1, y1) = box.min(axis=0).tolist(), box.max(axis=0).tolist()
    return Picture(visible=_lines(seen), hidden=_lines(unseen), low=(x0, y0), high=(x1, y1))


def _lines(found: Iterable[tuple[Array, str]]) -> tuple[Line, ...]:
    return tuple(Line(tuple((x, y) for x, y in points.tolist()), mark) for points, mark in found)


# ---------------------------------------------------------------- the scene in view coordinates


@dataclass(frozen=True, slots=True)
class _Scene:
    """Paths to draw and faces that hide, as (right, up, away).

    points, ends, owner  paths one after the other, where each ends, and its piece's mark
    away                 whether the step from each point to the next turns its back on the eye (ends of paths: unused)
    skin                 how far a step may lie behind a face and still count as on it
    edges                three lines (a, b, c) of every face's shadow: a x + b y + c >= 0 inside
    planes               (nx, ny, nz, c) of every face: distance in front of it
    corners              faces' corners
    """

    points: Array
    ends: Index
    owner: list[str]
    away: NDArray[np.bool_]
    skin: Array
    edges: Array
    planes: Array
    corners: Array

    def steps(self) -> Index:
        """Numbers of the points that a step starts from."""
        first = np.ones(len(self.points), dtype=bool)
        first[self.ends - 1] = False
        return np.flatnonzero(first)


def _gather(parts: Iterable[Part], view: View, clear: Collection[str]) -> _Scene:
    frame = np.array(view.frame())
    points: list[Array] = []
    owner: list[str] = []
    away: list[NDArray[np.bool_]] = []
    skin: list[Array] = []
    faces: list[Array] = []
    planes: list[Array] = []
    for part in parts:
        features = features_of(part.shape)
        for placement in part.placements:
            turn, shift = _into_view(frame, placement)
            corners = features.corners @ turn + shift
            normals = features.normals @ turn
            facing = normals[:, 2] < -_EDGE_ON
            for path, back in _paths_of(features, corners, facing):
                points.append(path)
                away.append(back)
                skin.append(np.full(len(path), SKIN))
                owner.append(part.mark)
            if isinstance(part.shape, Head):
                local = tuple(float(c) for c in turn[:, 2])
                for outline in head_outline(part.shape, local):
                    points.append(outline @ turn + shift)
                    away.append(np.zeros(len(outline), dtype=bool))
                    skin.append(np.full(len(outline), _OUTLINE_SKIN))
                    owner.append(part.mark)
            if part.mark not in clear:
                front = features.faces[facing]
                faces.append(corners[front])
                normal = normals[facing]
                planes.append(np.column_stack([normal, -np.einsum("ij,ij->i", normal, corners[front[:, 0]])]))
    corners = np.concatenate(faces) if faces else np.zeros((0, 3, 3))
    every = np.concatenate(planes) if planes else np.zeros((0, 4))
    edges, solid = _shadows(corners)
    return _Scene(
        points=np.concatenate(points) if points else np.zeros((0, 3)),
        ends=np.cumsum([len(p) for p in points], dtype=np.int64),
        owner=owner,
        away=np.concatenate(away) if away else np.zeros(0, dtype=bool),
        skin=np.concatenate(skin) if skin else np.zeros(0),
        edges=edges[solid],
        planes=every[solid],
        corners=corners[solid],
    )


def _into_view(frame: Array, placement: Placement) -> tuple[Array, Array]:
    """Matrix and shift that carry a piece's points (as rows) into view coordinates."""
    axes = np.array([placement.x, placement.y, placement.z])
    return axes @ frame.T, np.array(placement.origin) @ frame.T


def _paths_of(
    features: Features, corners: Array, facing: NDArray[np.bool_]
) -> Iterable[tuple[Array, NDArray[np.bool_]]]:
    """Sharp edges, then bends where a round turns away; steps with both faces turned away are marked."""
    begin = step = 0
    for end in features.path_ends.tolist():
        count = end - begin
        back = np.zeros(count, dtype=bool)
        back[:-1] = ~facing[features.path_faces[step : step + count - 1]].any(axis=1)
        yield corners[features.path[begin:end]], back
        begin, step = end, step + count - 1
    if len(features.bends):
        outline = features.bends[facing[features.bend_faces].sum(axis=1) == 1]
        for a, b in outline.tolist():
            yield corners[[a, b]], np.zeros(2, dtype=bool)


def _shadows(corners: Array) -> tuple[Array, NDArray[np.bool_]]:
    """The three side lines of each face's shadow, in metres inside, and whether it has a shadow to speak of."""
    flat = corners[:, :, :2]
    a, b, c = flat[:, 0], flat[:, 1], flat[:, 2]
    area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    way = np.where(area > 0.0, 1.0, -1.0)
    lines = []
    for p, q in ((a, b), (b, c), (c, a)):
        d = q - p
        length = np.maximum(np.hypot(d[:, 0], d[:, 1]), 1e-12) * way
        nx, ny = -d[:, 1] / length, d[:, 0] / length
        lines.append(np.column_stack([nx, ny, -(nx * p[:, 0] + ny * p[:, 1])]))
    return np.stack(lines, axis=1) if len(corners) else np.zeros((0, 3, 3)), np.abs(area) > 1e-9


# ---------------------------------------------------------------- which stretches are hidden


def _shut(scene: _Scene) -> list[list[Stretch]]:
    """The hidden stretches of every step, in order and run together where they meet."""
    steps = scene.steps()
    p, q = scene.points[steps], scene.points[steps + 1]
    dots = np.hypot(q[:, 0] - p[:, 0], q[:, 1] - p[:, 1]) < _DOT
    testable = np.flatnonzero(~scene.away[steps] & ~dots)
    step, face = _neighbours(scene, p[testable], q[testable])
    step = testable[step]
    found: list[tuple[Index, Array, Array]] = []
    for begin in range(0, len(step), _CHUNK):
        found.append(
            _hidden_by(scene, p, q, scene.skin[steps], step[begin : begin + _CHUNK], face[begin : begin + _CHUNK])
        )
    turned = np.flatnonzero(scene.away[steps])
    found.append((turned, np.zeros(len(turned)), np.ones(len(turned))))
    step, low, high = (np.concatenate(column) for column in zip(*found, strict=True))
    order = np.lexsort((low, step))
    shut: list[list[Stretch]] = [[] for _ in range(len(steps))]
    for i, a, b in zip(step[order].tolist(), low[order].tolist(), high[order].tolist(), strict=True):
        own = shut[i]
        if own and a <= own[-1][1] + 1e-6:
            if b > own[-1][1]:
                own[-1] = (own[-1][0], b)
        else:
            own.append((a, b))
    return shut


def _hidden_by(scene: _Scene, p: Array, q: Array, skin: Array, step: Index, face: Index) -> tuple[Index, Array, Array]:
    """Shares of steps that lie in the shadow of a face and behind its plane."""
    low, high = np.zeros(len(step)), np.ones(len(step))
    px, py, pz = p[step].T
    qx, qy, qz = q[step].T
    nx, ny, nz, c = scene.planes[face].T
    behind = c + skin[step]
    tests = [(-(nx * px + ny * py + nz * pz + behind), -(nx * qx + ny * qy + nz * qz + behind))]
    lines = scene.edges[face]
    for k in range(3):
        a, b, d = lines[:, k].T
        tests.append((a * px + b * py + d + _GRAIN, a * qx + b * qy + d + _GRAIN))
    with np.errstate(divide="ignore", invalid="ignore"):
        for first, last in tests:
            meets = first / (first - last)
            low = np.where((first < 0.0) & (last > 0.0), np.maximum(low, meets), low)
            high = np.where((first > 0.0) & (last < 0.0), np.minimum(high, meets), high)
            high = np.where((first <= 0.0) & (last <= 0.0), -1.0, high)
    kept = high > low
    return step[kept], low[kept], high[kept]


def _repeated(counts: Index) -> tuple[Index, Index]:
    """Each number as often as its count says, and the running number within it."""
    which = np.repeat(np.arange(len(counts)), counts)
    return which, np.arange(len(which)) - np.repeat(np.cumsum(counts) - counts, counts)


def _cells(shapes: Array, size: float, low: Array) -> tuple[Index, Index, Index]:
    """Cells of a square grid that triangles (or lines, as n by k by 2) touch: (which, column, row)."""
    grid = (shapes - low) / size
    first = np.floor(grid[:, :, 1].min(axis=1)).astype(np.int64)
    last = np.floor(grid[:, :, 1].max(axis=1)).astype(np.int64)
    which, k = _repeated(last - first + 1)
    row = first[which] + k
    left = np.full(len(which), np.inf)
    right = np.full(len(which), -np.inf)
    corners = shapes.shape[1]
    for i in range(corners if corners > 2 else 1):
        a, b = grid[which, i], grid[which, (i + 1) % corners]
        rise = b[:, 1] - a[:, 1]
        flat = np.abs(rise) < 1e-12
        slope = np.where(flat, 0.0, (b[:, 0] - a[:, 0]) / np.where(flat, 1.0, rise))
        bottom = np.maximum(np.minimum(a[:, 1], b[:, 1]), row)
        top = np.minimum(np.maximum(a[:, 1], b[:, 1]), row + 1)
        meets = bottom <= top
        for x in (
            np.where(flat, a[:, 0], a[:, 0] + slope * (bottom - a[:, 1])),
            np.where(flat, b[:, 0], a[:, 0] + slope * (top - a[:, 1])),
        ):
            left = np.where(meets, np.minimum(left, x), left)
            right = np.where(meets, np.maximum(right, x), right)
    start = np.floor(left - 1e-9).astype(np.int64)
    count = np.floor(right + 1e-9).astype(np.int64) - start + 1
    entry, k = _repeated(count)
    return which[entry], start[entry] + k, row[entry]


def _neighbours(scene: _Scene, p: Array, q: Array) -> tuple[Index, Index]:
    """Pairs of a step and a face that share a cell of the picture, the face not wholly behind the step."""
    if not len(p) or not len(scene.corners):
        return np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)
    flat = np.stack([p[:, :2], q[:, :2]], axis=1)
    low = np.minimum(flat.reshape(-1, 2).min(axis=0), scene.corners[:, :, :2].reshape(-1, 2).min(axis=0))
    high = flat.reshape(-1, 2).max(axis=0)
    size = float((high - low).max()) / 96.0 + 1e-9
    face, column, row = _cells(scene.corners[:, :, :2], size, low)
    step, step_column, step_row = _cells(flat, size, low)
    width = int(max(column.max(), step_column.max())) + 2
    key = row * width + column
    order = np.argsort(key, kind="stable")
    face, key = face[order], key[order]
    wanted = step_row * width + step_column
    begin, end = np.searchsorted(key, wanted), np.searchsorted(key, wanted, side="right")
    nearest = scene.corners[:, :, 2].min(axis=1)[face]
    deepest = (np.maximum(p[:, 2], q[:, 2]) - SKIN)[step]
    upto = np.cumsum(end - begin)
    stops = np.unique([0, *np.searchsorted(upto, np.arange(_CHUNK, int(upto[-1]), _CHUNK)), len(upto)])
    found = []
    for first, last in pairwise(stops.tolist()):
        entry, k = _repeated((end - begin)[first:last])
        at = begin[first:last][entry] + k
        entry += first
        front = nearest[at] < deepest[entry]
        found.append(_once(step[entry[front]] * len(scene.corners) + face[at[front]]))
    pair = np.concatenate(found)
    return pair // len(scene.corners), pair % len(scene.corners)


def _once(numbers: Index) -> Index:
    """The numbers sorted, each once; by a table where they lie close enough."""
    if not len(numbers):
        return numbers
    least = int(numbers.min())
    span = int(numbers.max()) - least + 1
    if span > _TABLE:
        return np.unique(numbers)
    met = np.zeros(span, dtype=bool)
    met[numbers - least] = True
    return np.flatnonzero(met) + least


# ---------------------------------------------------------------- strung together


def _strung(scene: _Scene, shut: Sequence[Sequence[Stretch]], hidden: bool) -> list[tuple[Array, str]]:
    """The seen (or hidden) stretches of every path as lines in the plane of the view."""
    steps = scene.steps()
    number = dict(zip(steps.tolist(), range(len(steps)), strict=True))
    plane = scene.points[:, :2].tolist()
    lengths = np.hypot(*(scene.points[steps + 1, :2] - scene.points[steps, :2]).T).tolist()
    out: list[tuple[Array, str]] = []
    begin = 0
    for end, mark in zip(scene.ends.tolist(), scene.owner, strict=True):
        line: list[list[float]] = []
        for i in range(begin, end - 1):
            n = number[i]
            length = lengths[n]
            if length < _DOT:
                continue
            p, q = plane[i], plane[i + 1]
            for a, b in _wanted(shut[n], hidden, _SHORT / length):
                start = [p[0] + a * (q[0] - p[0]), p[1] + a * (q[1] - p[1])]
                if not line or abs(line[-1][0] - start[0]) + abs(line[-1][1] - start[1]) > 1e-6:
                    _close(out, line, mark)
                    line = [start]
                line.append([p[0] + b * (q[0] - p[0]), p[1] + b * (q[1] - p[1])])
        _close(out, line, mark)
        begin = end
    return out


def _wanted(shut: Sequence[Stretch], hidden: bool, short: float) -> list[Stretch]:
    """The hidden stretches of a step, or those between them; stretches shorter than `short` go to their neighbours."""
    shut = [(a, b) for a, b in shut if b - a > short or (a <= 0.0 and b >= 1.0)]
    merged: list[Stretch] = []
    for a, b in shut:
        a, b = (0.0 if a < short else a), (1.0 if b > 1.0 - short else b)
        if merged and a - merged[-1][1] < short:
            merged[-1] = (merged[-1][0], b)
        else:
            merged.append((a, b))
    if hidden:
        return merged
    gaps = []
    at = 0.0
    for a, b in merged:
        if a > at:
            gaps.append((at, a))
        at = b
    if at < 1.0:
        gaps.append((at, 1.0))
    return gaps


def _close(out: list[tuple[Array, str]], line: list[list[float]], mark: str) -> None:
    if len(line) > 1:
        out.append((np.array(line), mark))
