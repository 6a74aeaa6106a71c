"""The pieces of the 3-D view read back as a stranger would read them.

Volumes and turns are checked with general-purpose libraries (trimesh, scipy); edge counts of plain solids are geometry.
"""

from __future__ import annotations

import base64
import dataclasses
import json
import math
import time
from pathlib import Path

import numpy as np
import pytest
import trimesh
from scipy.spatial.transform import Rotation

from pits import solved
from pitwright.bench.solid_view import lines_of, shape_record, solid
from pitwright.job.file import load_job
from pitwright.layout.pit import solve
from pitwright.parts import Bar, Bought, Outline, Plate
from pitwright.solid.mesh import solid_of, triangles
from pitwright.stock import STEEL_DENSITY, round_bar

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"
JOBS = (
    "orchard-30",
    "reverse-36",
    "receiver-metric",
    "pipe-24-saddles",
    "stand-24",
    "cart-20",
    "trailer-48",
    "upright-30",
)


def numbers(text: str, kind: str, across: int) -> np.ndarray:
    return np.frombuffer(base64.b64decode(text), kind).reshape(-1, across)


def index_of(shape: dict) -> str:
    return "<u4" if shape["wide"] else "<u2"


def mesh_of(shape: dict) -> trimesh.Trimesh:
    corners = numbers(shape["corners"], "<f4", 3).astype(float)
    return trimesh.Trimesh(corners, numbers(shape["faces"], index_of(shape), 3), process=False)


def closed(mesh: trimesh.Trimesh) -> bool:
    """Whether every edge is run as often one way as the other, corners in one place being one corner."""
    _, joined = np.unique(mesh.vertices, axis=0, return_inverse=True)
    faces = joined.reshape(-1)[mesh.faces]
    one = np.concatenate([faces[:, [k, (k + 1) % 3]] for k in range(3)])
    one = one[one[:, 0] != one[:, 1]]
    return sorted(map(tuple, one.tolist())) == sorted(map(tuple, one[:, ::-1].tolist()))


def matrix_of(at: list[float]) -> np.ndarray:
    matrix = np.eye(4)
    matrix[:3, :] = np.array(at).reshape(4, 3).T
    return matrix


def placed(data: dict, piece: dict, copy: int = 0) -> np.ndarray:
    corners = numbers(data["shapes"][piece["shape"]]["corners"], "<f4", 3).astype(float)
    matrix = matrix_of(piece["copies"][copy]["at"])
    return corners @ matrix[:3, :3].T + matrix[:3, 3]


def swung(points: np.ndarray, move: dict, share: float = 1.0) -> np.ndarray:
    pin = np.array(move["point"])
    return Rotation.from_rotvec(np.array(move["axis"]) * move["most"] * share).apply(points - pin) + pin


def sharp_over_true(shape: object) -> float:
    """Weight of a rolled section with sharp corners over its table weight."""
    if not isinstance(shape, Bar) or shape.profile.kind not in ("tube", "angle"):
        return 1.0
    p = shape.profile
    b, h, t = p.width, p.height, p.wall
    area = b * h - (b - 2 * t) * (h - 2 * t) if p.kind == "tube" else t * (b + h - t)
    return area * STEEL_DENSITY / p.mass_per_length


@pytest.fixture(scope="module", params=JOBS)
def shown(request: pytest.FixtureRequest):
    pit = solve(load_job(EXAMPLES / f"{request.param}.toml"))
    return pit, json.loads(json.dumps(solid(pit), allow_nan=False))


def test_every_piece_and_every_copy_is_there(shown) -> None:
    pit, data = shown
    assert {p["mark"]: len(p["copies"]) for p in data["pieces"]} == {p.mark: p.quantity for p in pit.parts}
    assert {p["group"] for p in data["pieces"]} == {g["key"] for g in data["groups"]}
    assert data["triangles"] == sum(
        len(numbers(s["faces"], index_of(s), 3)) * len(p["copies"])
        for p in data["pieces"]
        for s in [data["shapes"][p["shape"]]]
    )


def test_weights_are_the_volumes_of_what_is_drawn_times_steel(shown) -> None:
    """trimesh's volume of the triangles as sent, times the density of steel, against the weight told of the piece.

    The mesh leaves the corners of rolled sections sharp: there the drawn section over the true one is allowed for.
    """
    pit, data = shown
    parts = {p.mark: p for p in pit.parts}
    for piece in data["pieces"]:
        shape = parts[piece["mark"]].shape
        if isinstance(shape, Bought) or (isinstance(shape, Plate) and shape.mass_per_area is not None):
            continue
        mesh = mesh_of(data["shapes"][piece["shape"]])
        assert closed(mesh), piece["mark"]
        over = sharp_over_true(shape)
        assert mesh.volume * STEEL_DENSITY == pytest.approx(
            piece["mass"] * over, rel=0.004 if over == 1.0 else 0.008
        ), piece["mark"]


def test_the_pieces_sum_to_the_weight_of_the_pieces(shown) -> None:
    pit, data = shown
    whole = sum(p["mass"] * len(p["copies"]) for p in data["pieces"])
    assert whole == pytest.approx(float(pit.reasons["weight.pieces"].value), rel=1e-9)


def test_normals_are_of_length_one_and_look_outward(shown) -> None:
    _, data = shown
    for shape in data["shapes"]:
        corners = numbers(shape["corners"], "<f4", 3).astype(float)
        normals = numbers(shape["normals"], "i1", 3) / 127.0
        faces = numbers(shape["faces"], index_of(shape), 3)
        assert np.linalg.norm(normals, axis=1) == pytest.approx(np.ones(len(normals)), abs=0.02)
        a, b, c = (corners[faces[:, k]] for k in range(3))
        flat = np.cross(b - a, c - a)
        size = np.linalg.norm(flat, axis=1)
        flat, large = flat / np.maximum(size, 1e-30)[:, None], size > 2e-6  # a square millimetre
        agree = np.einsum("ij,ikj->ik", flat, normals[faces])[large]
        assert agree.min() > math.cos(math.radians(36.0)), "a corner's normal strays from its face"


def test_an_opened_door_stands_where_the_layout_says(shown) -> None:
    """The lower edge of each door's skin, turned about its pin by scipy, against the layout's own figure."""
    pit, data = shown
    if pit.upright is not None:
        pytest.skip("its door turns on plumb pins: see the next test")
    for door in pit.doors:
        move = next(m for m in data["moves"] if m["name"] == door.name)
        skin = next(p for p in data["pieces"] if p["moves"] == door.name and p["name"].endswith("skin"))
        shut = placed(data, skin)
        edge = shut[np.abs(shut[:, 2] - shut[:, 2].min()) < 2e-3]
        opened = swung(edge, move)
        assert opened[:, 2].max() == pytest.approx(door.edge_top_z, abs=pit.vessel.wall + 2e-3)
        assert swung(shut, move)[:, 1].max() <= door.reach + pit.vessel.wall + 2e-3


@pytest.mark.parametrize("hand", [1, -1])
def test_the_door_of_a_vessel_on_end_opens_outward_as_far_as_the_layout_says(hand: int) -> None:
    pit = solve(load_job(EXAMPLES / "upright-30.toml"))
    pit = dataclasses.replace(pit, vessel=dataclasses.replace(pit.vessel, hand=hand))
    data, door = solid(pit), pit.doors[0]
    move = next(m for m in data["moves"] if m["name"] == door.name)
    pieces = [p for p in data["pieces"] if p["moves"] == door.name]
    opened = np.concatenate([swung(placed(data, p), move) for p in pieces])
    assert opened[:, 1].max() == pytest.approx(door.reach, abs=0.03), (
        "handle and bands stand a little proud of the skin"
    )
    skin = swung(placed(data, next(p for p in pieces if p["name"].endswith("skin"))), move, 0.5)
    pin = np.hypot(*move["point"][:2])
    assert np.hypot(skin[:, 0], skin[:, 1]).max() > 1.2 * pin, "it opened outward"
    assert np.hypot(skin[:, 0], skin[:, 1]).min() > pit.vessel.inner_radius - 0.01, "none of it went in"


def test_a_slide_comes_out_to_the_working_side_by_its_travel() -> None:
    pit = solve(load_job(EXAMPLES / "orchard-30.toml"))
    slide = next(m for m in solid(pit)["moves"] if m["kind"] == "slide")
    level = next(level for level in pit.grates.levels if level.slides)
    assert slide["name"] == level.name
    assert slide["along"] == [0.0, 1.0, 0.0]
    assert slide["most"] == level.travel


@pytest.mark.parametrize("hand", [1, -1])
def test_the_fire_door_swings_away_from_the_firebox(hand: int) -> None:
    pit = solve(load_job(EXAMPLES / "orchard-30.toml"))
    pit = dataclasses.replace(pit, vessel=dataclasses.replace(pit.vessel, hand=hand))
    data = solid(pit)
    leaf = next(p for p in data["pieces"] if p["name"] == "fire door")
    move = next(m for m in data["moves"] if m["name"] == "fire door")
    outer = hand * pit.firebox.x0  # the end plate's outer face
    shut = placed(data, leaf)
    for share in (0.25, 0.5, 1.0):
        opened = swung(shut, move, share)
        assert (hand * (outer - opened[:, 0])).min() > -1e-3, "into the firebox"
    assert np.ptp(swung(shut, move)[:, 0]) == pytest.approx(np.ptp(shut[:, 1]), abs=1e-6)


def test_the_other_hand_is_the_mirror_image() -> None:
    pit = solve(load_job(EXAMPLES / "orchard-30.toml"))
    other = dataclasses.replace(pit, vessel=dataclasses.replace(pit.vessel, hand=-pit.vessel.hand))
    one, two = solid(pit), solid(other)
    for a, b in zip(one["pieces"], two["pieces"], strict=True):
        assert placed(two, b) == pytest.approx(placed(one, a) * (-1.0, 1.0, 1.0), abs=1e-9)


# ---------------------------------------------------------------- lines


def test_a_box_has_its_twelve_edges_and_no_outline_of_its_own() -> None:
    record = shape_record(Plate(outline=Outline.rectangle(0.0, 0.0, 0.3, 0.2), thickness=0.01))
    assert len(numbers(record["edges"], "<u2", 2)) == 12
    assert record["bends"] == ""
    assert record["triangles"] == 12


def test_a_round_bar_has_two_rims_and_an_outline_that_can_stand_anywhere() -> None:
    shape = Bar.square(round_bar(0.02), 0.5)
    record = shape_record(shape)
    corners = numbers(record["corners"], "<f4", 3)
    edges, bends = numbers(record["edges"], "<u2", 2), numbers(record["bends"], "<u2", 4)
    facets = len(edges) // 2
    assert len(bends) == facets
    assert np.ptp(corners[edges][:, :, 0], axis=1) == pytest.approx(0.0, abs=1e-7)
    assert np.ptp(corners[bends[:, :2]][:, :, 0], axis=1) == pytest.approx(0.5, abs=1e-6)
    eye = np.array([math.cos(0.3), math.sin(0.3)])  # seen across the bar: two lines, no more
    square = np.array([-eye[1], eye[0]])
    flat = corners[:, 1:] @ square
    a, c, d = flat[bends[:, 0]], flat[bends[:, 2]], flat[bends[:, 3]]
    assert int(((c - a) * (d - a) > 0.0).sum()) == 2


def test_lines_do_not_hang_on_how_corners_are_shared() -> None:
    shape = Plate(outline=Outline.circle(0.0, 0.0, 0.1, (Outline.rectangle(-0.02, -0.02, 0.02, 0.02),)), thickness=0.01)
    corners, faces = triangles(solid_of(shape))
    one = lines_of(corners, faces)
    apart = lines_of(corners[faces].reshape(-1, 3), np.arange(3 * len(faces)).reshape(-1, 3))
    assert [len(found) for found in one] == [len(found) for found in apart]
    assert len(one[0]) == 2 * len(one[1]) + 12, "two rims of as many steps as the rim has bends, and the square hole"


# ---------------------------------------------------------------- size and time


@pytest.mark.parametrize("seed", range(12))
def test_random_pits_can_all_be_shown(seed: int) -> None:
    pit = solved(seed)
    if pit is None:
        pytest.skip("these facts allow no pit")
    data = json.loads(json.dumps(solid(pit), allow_nan=False))
    for shape in data["shapes"]:
        count = len(numbers(shape["corners"], "<f4", 3))
        for name, across in (("faces", 3), ("edges", 2), ("bends", 4)):
            found = numbers(shape[name], index_of(shape), across)
            assert found.size == 0 or found.max() < count
    assert {p["moves"] for p in data["pieces"]} >= {m["name"] for m in data["moves"]}


def test_a_whole_pit_is_made_in_a_quarter_of_a_second_and_stays_small() -> None:
    pit = solve(load_job(EXAMPLES / "orchard-30.toml"))
    best = math.inf
    for _ in range(3):
        shape_record.cache_clear()
        solid_of.cache_clear()
        start = time.process_time()
        text = json.dumps(solid(pit))
        best = min(best, time.process_time() - start)
    assert best < 0.25
    assert len(text) < 1_000_000
