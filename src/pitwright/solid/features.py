"""The lines of a piece worth drawing: its sharp edges as long paths, and the edges that may become its outline.

Edges between facets of one round are never drawn as such; they only serve to find where a round turns away from the
eye. A head's outline is not taken from facets: its points are known in closed form.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from pitwright.geometry.formed_heads import EllipsoidalHead, TorisphericalHead
from pitwright.masses import knife_of
from pitwright.meridian import head_form
from pitwright.parts import Head, Shape
from pitwright.solid.mesh import solid_of, triangles

Array = NDArray[np.float64]
Index = NDArray[np.int64]

SHARP = math.radians(30.0)
"""Facets that meet at more than this make an edge [rad]."""
_COPLANAR = 1e-4
_OUTLINE = 64


@dataclass(frozen=True, slots=True)
class Features:
    """A shape's mesh and its lines, in its own frame.

    corners, faces, normals  the mesh, with unit normals of its faces
    path, path_ends          corners along the sharp edges, one path after the other; where each path ends
    path_faces               the two faces at each step of the paths (a path of n corners has n - 1 steps)
    bends, bend_faces        outward-bent edges between facets of a round, and the two faces at each
    """

    corners: Array
    faces: Index
    normals: Array
    path: Index
    path_ends: Index
    path_faces: Index
    bends: Index
    bend_faces: Index


@lru_cache(maxsize=1024)
def features_of(shape: Shape) -> Features:
    """The lines of a shape; tube corners are taken as sharp, as drawings show them."""
    corners, faces = triangles(solid_of(shape, True))
    a, b, c = (corners[faces[:, k]] for k in range(3))
    normals = np.cross(b - a, c - a)
    normals /= np.maximum(np.linalg.norm(normals, axis=1), 1e-30)[:, None]
    edges, sides, opposite = _edges(faces, len(corners))
    n0, n1 = normals[sides[:, 0]], normals[sides[:, 1]]
    bend = np.arctan2(np.linalg.norm(np.cross(n0, n1), axis=1), np.einsum("ij,ij->i", n0, n1))
    outward = np.einsum("ij,ij->i", n0, corners[opposite] - corners[edges[:, 0]]) < 0.0
    sharp = bend > SHARP
    smooth = (bend > _COPLANAR) & ~sharp & outward
    if isinstance(shape, Head):
        smooth[:] = False
    path, ends, steps = _paths(edges[sharp])
    return Features(
        corners=corners,
        faces=faces,
        normals=normals,
        path=path,
        path_ends=ends,
        path_faces=sides[sharp][steps],
        bends=edges[smooth],
        bend_faces=sides[smooth],
    )


def _edges(faces: Index, count: int) -> tuple[Index, Index, Index]:
    """Every edge once: its corners, its two faces, and the corner of the second face that is not on it."""
    start = faces.ravel()
    end = faces[:, [1, 2, 0]].ravel()
    third = faces[:, [2, 0, 1]].ravel()
    face = np.repeat(np.arange(len(faces)), 3)
    key = np.minimum(start, end) * count + np.maximum(start, end)
    order = np.argsort(key, kind="stable")
    first, second = order[0::2], order[1::2]
    return (
        np.column_stack([start[first], end[first]]),
        np.column_stack([face[first], face[second]]),
        third[second],
    )


def _paths(edges: Index) -> tuple[Index, Index, Index]:
    """Edges strung into the longest paths that do not branch: corners, where paths end, the edge of each step."""
    at: dict[int, list[int]] = defaultdict(list)
    pairs: list[list[int]] = edges.tolist()
    for i, (a, b) in enumerate(pairs):
        at[a].append(i)
        at[b].append(i)
    used = [False] * len(pairs)
    path: list[int] = []
    ends: list[int] = []
    steps: list[int] = []

    def walk(corner: int, edge: int) -> None:
        path.append(corner)
        while True:
            used[edge] = True
            steps.append(edge)
            a, b = pairs[edge]
            corner = b if a == corner else a
            path.append(corner)
            onward = [i for i in at[corner] if not used[i]] if len(at[corner]) == 2 else []
            if not onward:
                ends.append(len(path))
                return
            edge = onward[0]

    for corner, around in at.items():
        if len(around) != 2:
            for edge in around:
                if not used[edge]:
                    walk(corner, edge)
    for i, (a, _) in enumerate(pairs):
        if not used[i]:
            walk(a, i)
    return np.array(path, dtype=np.int64), np.array(ends, dtype=np.int64), np.array(steps, dtype=np.int64)


# ---------------------------------------------------------------- outline of a head


def head_outline(head: Head, toward: Sequence[float]) -> list[Array]:
    """Where a formed head's outside turns away from an eye looking `toward` (own frame): points of each piece [m].

    At the normal's angle p from the axis the outline stands at clock c with tan(p) cos(c - c0) = -w_x / w_r, where
    w_x and w_r are the parts of the looking direction along and across the axis and c0 is the clock of the latter.
    """
    along, across = toward[0], math.hypot(toward[1], toward[2])
    if head.kind == "flat" or across < 1e-6:
        return []
    least = math.atan2(abs(along), across)
    share = np.linspace(0.0, 1.0, _OUTLINE + 1)
    share = share * share * (2.0 - share)
    angle = least + (math.pi / 2.0 - least) * share
    turn = np.arccos(np.clip(-math.copysign(math.tan(least), along) / np.tan(np.maximum(angle, 1e-12)), -1.0, 1.0))
    rho, x = _at_normal(head, angle)
    if head.flange > 0.0:
        rho, x, turn = np.append(rho, rho[-1]), np.append(x, -head.flange), np.append(turn, turn[-1])
    middle = math.atan2(toward[1], toward[2])
    clock = np.concatenate([middle - turn[::-1], middle + turn[1:]])
    rho, x = np.concatenate([rho[::-1], rho[1:]]), np.concatenate([x[::-1], x[1:]])
    points = np.column_stack([x, rho * np.sin(clock), rho * np.cos(clock)])
    return _outside_cuts(head, points)


def _outside_cuts(head: Head, points: Array) -> list[Array]:
    """The stretches of a line on a head that its cuts leave, ended where they cross it."""
    knives = [knife_of(cut) for cut in head.cuts]

    def stands(at: Array) -> NDArray[np.bool_]:
        kept = np.ones(len(at), dtype=bool)
        for knife in knives:
            start, end = knife.taken(at[:, 1], at[:, 2])
            kept &= ~((start <= at[:, :1]) & (at[:, :1] <= end)).any(axis=1)
        return kept

    kept = stands(points)
    breaks = np.flatnonzero(kept[1:] != kept[:-1]) + 1
    stays = np.where(kept[breaks][:, None], points[breaks], points[breaks - 1])
    goes = np.where(kept[breaks][:, None], points[breaks - 1], points[breaks])
    for _ in range(12):
        middle = (stays + goes) / 2.0
        good = stands(middle)[:, None]
        stays, goes = np.where(good, middle, stays), np.where(good, goes, middle)
    pieces = []
    for k, (begin, end) in enumerate(zip([0, *breaks.tolist()], [*breaks.tolist(), len(points)], strict=True)):
        if kept[begin]:
            before = stays[k - 1 : k] if k else points[:0]
            pieces.append(np.concatenate([before, points[begin:end], stays[k : k + 1]]))
    return pieces


def _at_normal(head: Head, angle: Array) -> tuple[Array, Array]:
    """Points (rho, x) of a formed head's outside whose normals lean `angle` off the axis."""
    form = head_form(head)
    sine, cosine = np.sin(angle), np.cos(angle)
    if isinstance(form, TorisphericalHead):
        crown, knuckle = form.crown + head.wall, form.knuckle + head.wall
        ring, low = form.radius - form.knuckle, form.crown - form.inside_depth
        on_crown = angle < form.crown_angle
        return (
            np.where(on_crown, crown * sine, ring + knuckle * sine),
            np.where(on_crown, crown * cosine - low, knuckle * cosine),
        )
    assert isinstance(form, EllipsoidalHead)  # head_from_outside makes no other formed kind
    a, b = form.radius, form.depth
    length = np.hypot(a * sine, b * cosine)
    return a * a * sine / length, b * b * cosine / length
