"""The GLB file read back as a stranger would read it."""

import json
import struct
import subprocess
import sys

import numpy as np
import pytest

import sample_pieces as sample
from pitwright.parts import Outline, Part, Placement, Plate
from pitwright.solid.glb import COLOURS, glb_bytes, shaded


def read(content):
    magic, version, length = struct.unpack("<4sII", content[:12])
    assert (magic, version, length) == (b"glTF", 2, len(content))
    size, kind = struct.unpack("<I4s", content[12:20])
    assert kind == b"JSON"
    tree = json.loads(content[20 : 20 + size])
    return tree, content[28 + size :]


def accessor(tree, binary, number):
    a = tree["accessors"][number]
    view = tree["bufferViews"][a["bufferView"]]
    start = view.get("byteOffset", 0) + a.get("byteOffset", 0)
    kind = {5126: np.float32, 5125: np.uint32, 5123: np.uint16}[a["componentType"]]
    width = {"SCALAR": 1, "VEC3": 3}[a["type"]]
    return np.frombuffer(binary, kind, a["count"] * width, start).reshape(-1, width)


@pytest.fixture(scope="module")
def pit():
    parts = sample.sample_pit()
    return parts, glb_bytes(parts)


def test_one_named_node_for_every_copy(pit):
    parts, content = pit
    tree, _ = read(content)
    names = [node["name"] for node in tree["nodes"] if "mesh" in node]
    assert sorted(names) == sorted(f"{p.mark}/{i + 1} {p.name}" for p in parts for i in range(p.quantity))
    assert len(tree["meshes"]) == len(parts)
    leg = next(node for node in tree["nodes"] if node["name"] == "L1/2 leg")
    assert leg["extras"] == {"mark": "L1", "name": "leg", "group": "legs", "moving": "", "copy": 2}


def test_metres_and_y_up():
    plate = Part(
        mark="A1",
        name="plate",
        group="base",
        shape=Plate(outline=Outline.rectangle(0.0, 0.0, 2.0, 1.0), thickness=0.01),
        stock="plate",
        placements=(Placement(origin=(0.0, 0.0, 5.0)),),
    )
    tree, binary = read(glb_bytes((plate,)))
    (node,) = [n for n in tree["nodes"] if "mesh" in n]
    matrix = np.array(node["matrix"]).reshape(4, 4).T
    mesh = tree["meshes"][node["mesh"]]["primitives"][0]
    points = accessor(tree, binary, mesh["attributes"]["POSITION"])
    world = points @ matrix[:3, :3].T + matrix[:3, 3]
    assert world.min(axis=0) == pytest.approx([0.0, 5.0, -1.0], abs=1e-6)
    assert world.max(axis=0) == pytest.approx([2.0, 5.01, 0.0], abs=1e-6)
    colour = tree["materials"][mesh["material"]]["pbrMetallicRoughness"]["baseColorFactor"]
    assert colour[:3] == pytest.approx(COLOURS["base"], abs=1 / 255)


def test_normals_are_unit_and_smooth_round_a_shell(pit):
    shell = pit[0][0].shape
    corners, normals, faces = shaded(shell)
    assert np.linalg.norm(normals, axis=1) == pytest.approx(1.0, abs=1e-4)
    a, b, c = (corners[faces[:, k]] for k in range(3))
    flat = np.cross(b - a, c - a)
    flat /= np.linalg.norm(flat, axis=1)[:, None]
    off = np.einsum("ij,ij->i", flat, normals[faces[:, 0]])
    assert np.median(off) > 0.99
    # Round the skin the normals stand along the radius, not along the facets.
    skin = np.abs(np.hypot(corners[:, 1], corners[:, 2]) - shell.outer_radius) < 5e-4
    radial = corners[skin][:, 1:] / np.hypot(corners[skin][:, 1], corners[skin][:, 2])[:, None]
    along = np.einsum("ij,ij->i", radial, normals[skin][:, 1:])
    outward = along > 0.9
    assert np.mean(outward) > 0.4
    assert along[outward].min() > 0.997


def test_every_group_has_a_colour(pit):
    assert {p.group for p in pit[0]} <= set(COLOURS)


def test_same_parts_same_bytes_in_another_process(pit):
    script = (
        "import sys; sys.path[:0] = sys.argv[1].split(':'); import hashlib, sample_pieces as s;"
        "from pitwright.solid.glb import glb_bytes; print(hashlib.sha256(glb_bytes(s.sample_pit())).hexdigest())"
    )
    import hashlib

    out = subprocess.run(
        [sys.executable, "-c", script, ":".join(p for p in sys.path if p)],
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONHASHSEED": "7", "PATH": ""},
    )
    assert out.stdout.strip() == hashlib.sha256(pit[1]).hexdigest()
