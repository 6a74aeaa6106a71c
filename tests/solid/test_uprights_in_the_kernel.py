"""Vessels on end rebuilt by the OCCT B-rep kernel: an independent witness of their weights, their window and their cope."""

from __future__ import annotations

import math

import pytest

import uprights
from pitwright.masses import mass_of, volume_of
from pitwright.parts import Bar, Bought, Plate, Shell
from pitwright.solid.mesh import overlaps, pit_solids
from pitwright.stock import STEEL_DENSITY

pytest.importorskip(
    "OCP.gp", reason="the solid kernel (extra `step`) does not start on this system", exc_type=ImportError
)

SEEDS = (0, 3, 7, 11, 16, 21, 28, 34)
SHARE = 0.005


def pit_of(seed):
    pit = uprights.solved(seed)
    if pit is None:
        pytest.skip("the seed's facts allow no pit")
    return pit


def kernel_volume(shape):
    from pitwright.solid.brep import brep_mass, brep_of

    return brep_mass(brep_of(shape))


def round_area(shape, radius):
    """Area of the kernel's round faces of one radius [m2]."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.BRepGProp import BRepGProp
    from OCP.GeomAbs import GeomAbs_Cylinder
    from OCP.GProp import GProp_GProps
    from OCP.TopAbs import TopAbs_FACE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    from pitwright.solid.brep import brep_of

    total, seeker = 0.0, TopExp_Explorer(brep_of(shape), TopAbs_FACE)
    while seeker.More():
        face = TopoDS.Face(seeker.Current())
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() == GeomAbs_Cylinder and abs(surface.Cylinder().Radius() / 1e3 - radius) < 1e-7:
            found = GProp_GProps()
            BRepGProp.SurfaceProperties_s(face, found)
            total += found.Mass() / 1e6
        seeker.Next()
    return total


@pytest.mark.parametrize("seed", SEEDS)
def test_every_piece_and_the_whole_weigh_what_the_kernel_says(seed):
    pit, ours, theirs = pit_of(seed), 0.0, 0.0
    for part in pit.parts:
        if isinstance(part.shape, Bought):
            continue
        mine, witness = volume_of(part.shape).volume, kernel_volume(part.shape).volume
        assert witness == pytest.approx(mine, rel=SHARE), f"{part.mark} {part.name}"
        if not (isinstance(part.shape, Plate) and part.shape.mass_per_area is not None):
            ours += mass_of(part).mass * part.quantity
            theirs += witness * part.density * part.quantity
            if isinstance(part.shape, Bar):  # a bar weighs by its table, which counts its corners otherwise
                ours += (mine * part.density - mass_of(part).mass) * part.quantity
    assert theirs == pytest.approx(ours, rel=SHARE)
    assert pytest.approx(7849.0, abs=1.0) == STEEL_DENSITY


@pytest.mark.parametrize("seed", SEEDS)
def test_nothing_runs_into_anything(seed):
    assert overlaps(pit_of(seed).parts) == ()


@pytest.mark.parametrize("seed", SEEDS)
def test_window_cut_out_of_the_kernels_shell_has_the_area_told(seed):
    pit = pit_of(seed)
    shell = next(p.shape for p in pit.parts if p.name == "shell")
    assert isinstance(shell, Shell)
    radius, door = shell.outer_radius, pit.doors[0]
    gone = 2.0 * math.pi * radius * shell.length - round_area(shell, radius)
    told = pit.upright.window.skin_area + (door.x1 - door.x0) * door.arc
    if pit.stack.place == "back":
        bore = pit.stack.profile.height / 2.0 - pit.stack.profile.wall
        from pitwright.geometry.curves import Saddle

        told += Saddle(header_radius=radius, branch_radius=bore).hole().area
    assert gone == pytest.approx(told, rel=2e-3)


@pytest.mark.parametrize("seed", SEEDS)
def test_firebox_ends_on_the_shell(seed):
    """Points of the standing firebox body nearest the vessel's axis lie on the outside skin, none nearer."""
    pit = pit_of(seed)
    body = [part for part in pit.parts if part.name in ("firebox body", "firebox side", "firebox bottom and roof")]
    nearest = math.inf
    for _, _, solid in pit_solids(body):
        corners = solid.to_mesh().vert_properties[:, :3]
        nearest = min(nearest, float((corners[:, 0] ** 2 + corners[:, 1] ** 2).min()) ** 0.5)
    assert nearest == pytest.approx(pit.vessel.outer_radius, abs=1.2e-3)
