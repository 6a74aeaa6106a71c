"""The solved pit in three dimensions, as the page's 3-D view reads it: one mesh a shape, one place a copy, what moves.

`solid` gives plain JSON. Long lists of numbers travel as base64 of little-endian arrays:

    corners  float32, three to a corner [m], in the shape's own frame
    normals  int8, three to a corner, 127 = 1
    faces    three corner numbers to a triangle
    edges    two corner numbers to a sharp edge
    bends    four corner numbers to an edge between facets of a round: its ends, then the corner of each face beside it;
             it is drawn only where both lie on one side of it, which makes the outline of the round

Corner numbers are uint16, or uint32 where `wide` says so. Pieces stand as `standing_parts` has them: x along the pit,
y to the working side, z up from the floor [m].
"""

from __future__ import annotations

import base64
import math
from functools import lru_cache
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from pitwright.layout.model import DoorLayout, Pit
from pitwright.layout.standing import standing_parts
from pitwright.masses import mass_of
from pitwright.parts import Part, Placement, Shape
from pitwright.solid.glb import COLOURS, SHARP
from pitwright.solid.mesh import solid_of
from pitwright.tape import LB

Index = NDArray[np.int64]

GROUPS: Final[dict[str, str]] = {
    "vessel": "vessel",
    "doors": "doors",
    "grates": "grates",
    "firebox": "firebox",
    "throat": "throat",
    "stack": "stack",
    "legs": "legs",
    "saddles": "saddles",
    "base": "base",
    "shelf": "shelf",
    "fittings": "fittings",
    "lifting": "lifting",
}
"""Groups in the order the list of pieces shows them, and what they are called."""

_FLAT: Final = 1e-4  # under this bend two facets are one plane [rad]
_QUARTER: Final = math.pi / 2.0


def solid(pit: Pit) -> dict[str, Any]:
    """Everything the 3-D view shows of a pit, as JSON: shapes, pieces with weights, what moves and how far."""
    tape, parts = pit.tape, standing_parts(pit)
    numbers: dict[Shape, int] = {}
    pieces = [_piece(pit, part, numbers.setdefault(part.shape, len(numbers))) for part in parts]
    shapes = [shape_record(shape) for shape in numbers]
    used = {part.group for part in parts}
    return {
        "name": pit.job.job.name,
        "customer": pit.job.job.customer,
        "revision": str(pit.revision),
        "hand": pit.vessel.hand,
        "weight": tape.mass(pit.balance["empty"].mass),
        "pieces_weight": tape.figure(pit.reasons["weight.pieces"].value, "mass"),
        "weigh": {"kilograms": LB if tape.inch else 1.0, "unit": "lb" if tape.inch else "kg"},
        "groups": [
            {"key": group, "name": name, "colour": list(COLOURS[group])}
            for group, name in GROUPS.items()
            if group in used
        ],
        "moves": moves(pit, parts),
        "shapes": shapes,
        "pieces": pieces,
        "triangles": sum(shapes[p["shape"]]["triangles"] * len(p["copies"]) for p in pieces),
    }


def _piece(pit: Pit, part: Part, shape: int) -> dict[str, Any]:
    mass = mass_of(part).mass
    return {
        "mark": part.mark,
        "name": part.name,
        "group": part.group,
        "stock": part.stock,
        "material": part.material,
        "mass": mass,
        "weight": pit.tape.mass(mass),
        "assumed": part.assumed,
        "moves": part.moving,
        "shape": shape,
        "copies": [{"at": _matrix(p), "where": p.where} for p in part.placements],
    }


def _matrix(p: Placement) -> list[float]:
    """Where a copy stands: three axes and the origin, column by column."""
    return [round(v, 9) for axis in (p.x, p.y, p.z, p.origin) for v in axis]


# ---------------------------------------------------------------- what moves


def moves(pit: Pit, parts: tuple[Part, ...]) -> list[dict[str, Any]]:
    """Doors with their pin line and slides with their travel, in the standing frame.

    Each has `name`, `kind`, `most` (swing [rad] or travel [m]) and `text`, what that is by the tape; a door also `point`
    and `axis` of its pin (a right-handed turn about the axis opens it), a slide `along`. The fire door turns about the
    middle of its hinges; how far is for the picture only, a quarter turn.
    """
    tape, hand = pit.tape, float(pit.vessel.hand)
    out: list[dict[str, Any]] = [
        {"name": door.name, "kind": "swing", **_pin_line(pit, door), "most": door.stop, "text": tape.angle(door.stop)}
        for door in pit.doors
    ]
    hinges = next((p for p in parts if p.moving == "fire door" and p.name.startswith("fire door hinges")), None)
    if hinges is not None:
        place = hinges.placements[0]
        outward = -hand  # the firebox's outer end looks that way along x
        away = -1.0 if place.origin[1] < 0.0 else 1.0  # the hinges stand on this side of the door
        out.append(
            {
                "name": "fire door",
                "kind": "swing",
                "point": list(place.origin),
                "axis": [0.0, 0.0, outward * away],
                "most": _QUARTER,
                "text": tape.angle(_QUARTER),
            }
        )
    for level in pit.grates.levels:
        if level.slides and level.travel > 0.0:
            out.append(
                {
                    "name": level.name,
                    "kind": "slide",
                    "along": [0.0, 1.0, 0.0],
                    "most": level.travel,
                    "text": tape.length(level.travel),
                }
            )
    moving = {p.moving for p in parts}
    return [m for m in out if m["name"] in moving]


def _pin_line(pit: Pit, door: DoorLayout) -> dict[str, Any]:
    """A chamber door's pins: along the pit where it lies, upright on a vessel on end."""
    if pit.upright is None:
        return {"point": [0.0, *door.pin], "axis": [1.0, 0.0, 0.0]}
    hand = float(pit.vessel.hand)
    return {"point": [hand * door.pin[0], door.pin[1], 0.0], "axis": [0.0, 0.0, -hand * pit.upright.door.hinge_side]}


# ---------------------------------------------------------------- shapes


@lru_cache(maxsize=1024)
def shape_record(shape: Shape) -> dict[str, Any]:
    """One shape's mesh and lines as JSON (see the head of this module); kept, for a change leaves most shapes as they were."""
    mesh = solid_of(shape, True).calculate_normals(0, math.degrees(SHARP)).to_mesh()
    properties = np.asarray(mesh.vert_properties)
    corners, normals = properties[:, :3], properties[:, 3:6]
    faces = np.asarray(mesh.tri_verts, dtype=np.int64)
    edges, bends = lines_of(corners, faces)
    wide = len(corners) > 65535
    return {
        "corners": _packed(corners, "<f4"),
        "normals": _packed(np.rint(normals * 127.0), "i1"),
        "faces": _packed(faces, "<u4" if wide else "<u2"),
        "edges": _packed(edges, "<u4" if wide else "<u2"),
        "bends": _packed(bends, "<u4" if wide else "<u2"),
        "wide": wide,
        "triangles": len(faces),
    }


def _packed(values: NDArray[Any], kind: str) -> str:
    return base64.b64encode(np.ascontiguousarray(values, dtype=kind).tobytes()).decode("ascii")


def lines_of(corners: NDArray[Any], faces: Index) -> tuple[Index, Index]:
    """Sharp edges (n by 2) and outward bends of rounds (m by 4) of a closed mesh whose corners may be doubled.

    A bend's last two corners are those of its two faces that are not on it.
    """
    _, first, same = np.unique(corners, axis=0, return_index=True, return_inverse=True)
    joined = same.reshape(-1)[faces]
    start, end, third = (np.concatenate([joined[:, (k + s) % 3] for k in range(3)]) for s in range(3))
    face = np.tile(np.arange(len(faces)), 3)
    key = np.minimum(start, end) * len(first) + np.maximum(start, end)
    order = np.argsort(key, kind="stable")
    _, begins, count = np.unique(key[order], return_index=True, return_counts=True)
    pairs = begins[count == 2]
    one, two = order[pairs], order[pairs + 1]
    place = corners[first].astype(float)
    a, b, c = (place[joined[:, k]] for k in range(3))
    normal = np.cross(b - a, c - a)
    normal /= np.maximum(np.linalg.norm(normal, axis=1), 1e-30)[:, None]
    n0, n1 = normal[face[one]], normal[face[two]]
    bend = np.arctan2(np.linalg.norm(np.cross(n0, n1), axis=1), np.einsum("ij,ij->i", n0, n1))
    outward = np.einsum("ij,ij->i", n0, place[third[two]] - place[start[one]]) < 0.0
    sharp, smooth = bend > SHARP, (bend > _FLAT) & (bend <= SHARP) & outward
    edges = np.column_stack([start[one], end[one]])[sharp]
    bends = np.column_stack([start[one], end[one], third[one], third[two]])[smooth]
    return first[edges].reshape(-1, 2), first[bends].reshape(-1, 4)
