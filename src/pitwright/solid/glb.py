"""The pit as a GLB file for any viewer: metres, y up, one named node for every copy of every piece.

Node names are `mark/copy name`, such as `L1/2 leg`; copies share one mesh. Each node carries mark, name, group, what it
moves with and its copy number as extras. Same parts, same bytes.
"""

from __future__ import annotations

import importlib
import math
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pitwright.parts import Group, Part, Placement, Shape
from pitwright.solid.mesh import solid_of

Colour = tuple[float, float, float]

COLOURS: Mapping[Group, Colour] = {
    "vessel": (0.42, 0.44, 0.46),
    "doors": (0.58, 0.40, 0.30),
    "firebox": (0.34, 0.33, 0.34),
    "throat": (0.50, 0.46, 0.42),
    "stack": (0.38, 0.42, 0.47),
    "grates": (0.66, 0.64, 0.60),
    "legs": (0.33, 0.43, 0.47),
    "base": (0.28, 0.36, 0.40),
    "saddles": (0.33, 0.43, 0.47),
    "shelf": (0.55, 0.50, 0.40),
    "fittings": (0.62, 0.57, 0.44),
    "lifting": (0.72, 0.55, 0.25),
}
"""Red, green, blue from 0 to 1, as light."""

SHARP = math.radians(35.0)
"""Edges that bend more than this are drawn sharp, the rest smooth [rad]."""

_Y_UP = np.array([[1.0, 0.0, 0.0, 0.0], [0.0, 0.0, 1.0, 0.0], [0.0, -1.0, 0.0, 0.0], [0.0, 0.0, 0.0, 1.0]])


@lru_cache(maxsize=1024)
def shaded(shape: Shape) -> tuple[NDArray[np.float32], NDArray[np.float32], NDArray[np.uint32]]:
    """Corners, their normals and triangles of a shape, corners doubled where an edge is sharp."""
    mesh = solid_of(shape).calculate_normals(0, math.degrees(SHARP)).to_mesh()
    properties = np.asarray(mesh.vert_properties)
    return properties[:, :3], properties[:, 3:6], np.asarray(mesh.tri_verts)


def matrix_of(placement: Placement) -> NDArray[np.float64]:
    """A placement as a 4 by 4 matrix."""
    matrix = np.eye(4)
    for k, axis in enumerate((placement.x, placement.y, placement.z, placement.origin)):
        matrix[:3, k] = axis
    return matrix


def glb_bytes(parts: Iterable[Part], colours: Mapping[Group, Colour] = COLOURS) -> bytes:
    """The GLB file of parts, pieces coloured by group."""
    trimesh: Any = importlib.import_module("trimesh")
    visual: Any = importlib.import_module("trimesh.visual")
    materials = {
        group: visual.material.PBRMaterial(
            name=group, baseColorFactor=[*colour, 1.0], metallicFactor=0.2, roughnessFactor=0.7
        )
        for group, colour in colours.items()
    }
    scene = trimesh.Scene(base_frame="pit")
    for part in parts:
        corners, normals, faces = shaded(part.shape)
        geometry = f"{part.mark} {part.name}"
        scene.geometry[geometry] = trimesh.Trimesh(
            vertices=corners,
            faces=faces,
            vertex_normals=normals,
            visual=visual.TextureVisuals(material=materials[part.group]),
            process=False,
        )
        for copy, placement in enumerate(part.placements):
            scene.graph.update(
                f"{part.mark}/{copy + 1} {part.name}",
                matrix=_Y_UP @ matrix_of(placement),
                geometry=geometry,
                metadata={
                    "mark": part.mark,
                    "name": part.name,
                    "group": part.group,
                    "moving": part.moving,
                    "copy": copy + 1,
                },
            )
    content: bytes = scene.export(file_type="glb", include_normals=True, tree_postprocessor=_signed)
    return content


def _signed(tree: dict[str, Any]) -> None:
    tree["asset"]["generator"] = "Pitwright"
