"""The B-rep kernel as an independent solver, and the STEP file read back."""

import importlib
import math
import re

import pytest

import sample_pieces as sample
from pitwright.errors import OutputError
from pitwright.masses import combine, mass_of, placed_mass, volume_of
from pitwright.parts import Bar, Bought, Head, Outline, Part, Placement, Plate
from pitwright.solid import kernel as kernel_module
from pitwright.solid.mesh import solid_of
from pitwright.stock import STEEL_DENSITY, find_profile, tube

try:
    import OCP  # noqa: F401

    starts = True
except ImportError:
    starts = False

needs_kernel = pytest.mark.skipif(not starts, reason="the solid kernel (extra `step`) does not start on this system")

SHAPES = sample.random_shapes(seed=11, each=12)


@needs_kernel
@pytest.mark.parametrize("number", range(len(SHAPES)))
def test_weights_and_meshes_against_the_kernel(number):
    from pitwright.solid.brep import brep_mass, brep_of, is_sound

    shape = SHAPES[number]
    solid = brep_of(shape)
    assert is_sound(solid)
    kernel = brep_mass(solid)
    exact = volume_of(shape)
    assert exact.volume == pytest.approx(kernel.volume, rel=5e-4)
    assert exact.centre == pytest.approx(kernel.centre, abs=1e-4)
    assert solid_of(shape).volume() == pytest.approx(kernel.volume, rel=2e-3)


@needs_kernel
def test_the_sample_pit_against_the_kernel():
    from pitwright.solid.brep import brep_mass, brep_of

    for part in sample.sample_pit():
        kernel = brep_mass(brep_of(part.shape))
        exact = volume_of(part.shape)
        assert exact.volume == pytest.approx(kernel.volume, rel=3e-4), part.mark
        assert exact.centre == pytest.approx(kernel.centre, abs=6e-5), part.mark


@needs_kernel
def test_weight_is_the_table_weight_where_stock_has_one():
    # Stock whose table weight follows its drawn section: kernel volume x density is the weight.
    from pitwright.solid.brep import brep_mass, brep_of

    bar = Bar.square(find_profile("2 x 2 x 3/16 tube", field="stock"), 1.0)
    part = Part(mark="A1", name="bar", group="base", shape=bar, stock="tube", placements=(Placement(),))
    assert mass_of(part).mass == pytest.approx(brep_mass(brep_of(bar)).volume * STEEL_DENSITY, rel=5e-3)


@needs_kernel
@pytest.mark.parametrize("kind", ["ellipsoidal", "hemispherical", "torispherical", "flat"])
def test_plain_heads_are_exact(kind):
    from pitwright.solid.brep import brep_mass, brep_of

    depth = 0.01 if kind == "flat" else 0.25
    head = Head(kind=kind, outer_radius=0.5, wall=0.01, depth=depth, flange=0.03, crown=1.0, knuckle=0.06)
    kernel, exact = brep_mass(brep_of(head)), volume_of(head)
    assert exact.volume == pytest.approx(kernel.volume, rel=1e-9)
    assert exact.centre == pytest.approx(kernel.centre, abs=1e-9)


def twisted_pit():
    """Pieces with turned, shifted and mirrored copies, one name beyond plain letters."""
    lean = math.radians(20.0)
    turned = Placement(
        origin=(0.3, -0.2, 0.9), x=(math.cos(lean), 0.0, math.sin(lean)), z=(-math.sin(lean), 0.0, math.cos(lean))
    )
    mirrored = Placement(origin=(1.0, 0.5, 0.0), x=(0.0, 1.0, 0.0), y=(1.0, 0.0, 0.0))
    wedge = Plate(outline=Outline.polygon(((0.0, 0.0), (0.4, 0.0), (0.0, 0.2))), thickness=0.01)
    leg = next(p for p in sample.sample_pit() if p.mark == "L1").shape
    return [
        Part(
            mark="K1",
            name="gusset à 45°",
            group="base",
            shape=wedge,
            stock="plate",
            placements=(turned, mirrored, turned),
        ),
        Part(mark="L1", name="leg", group="legs", shape=leg, stock="tube", placements=(mirrored, turned)),
        Part(
            mark="X1",
            name="wheel",
            group="fittings",
            shape=Bought(mass=1.0, size=(0.1, 0.3, 0.3), form="cylinder"),
            stock="bought",
            placements=(turned,),
        ),
    ]


def read_back(path):
    from OCP.STEPControl import STEPControl_Reader

    reader = STEPControl_Reader()
    reader.ReadFile(str(path))
    reader.TransferRoots()
    return reader.OneShape()


@needs_kernel
def test_step_read_back_weighs_the_same_in_the_same_place(tmp_path):
    from pitwright.solid.brep import brep_mass
    from pitwright.solid.step import write_step

    parts = twisted_pit()
    write_step(parts, tmp_path / "pit.step")
    found = brep_mass(read_back(tmp_path / "pit.step"))
    volumes = [(volume_of(part.shape), placement) for part in parts for placement in part.placements]
    total = sum(v.volume for v, _ in volumes)
    assert found.volume == pytest.approx(total, rel=1e-4)
    for k in range(3):
        moment = sum(v.volume * placement.point(v.centre)[k] for v, placement in volumes)
        assert found.centre[k] == pytest.approx(moment / total, abs=1e-5)


@needs_kernel
def test_step_names_marks_and_copies(tmp_path):
    from pitwright.solid.step import write_step

    write_step(twisted_pit(), tmp_path / "pit.step")
    text = (tmp_path / "pit.step").read_text(encoding="utf-8").replace("\n", "")
    products = re.findall(r"PRODUCT\('([^']*)'", text)
    assert set(products) == {
        "pit",
        "K1 gusset à 45°",
        "K1 mirrored gusset à 45°",
        "L1 leg",
        "L1 mirrored leg",
        "X1 wheel",
    }
    copies = re.findall(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\('\d+','([^']*)'", text)
    assert copies == ["K1/1", "K1/2", "K1/3", "L1/1", "L1/2", "X1/1"]
    assert "MILLI" in text


@needs_kernel
def test_step_is_the_same_twice_and_prints_nothing(tmp_path, capfd):
    from pitwright.solid.step import write_step

    for name in ("a.step", "b.step"):
        write_step(twisted_pit(), tmp_path / name)
    assert (tmp_path / "a.step").read_bytes() == (tmp_path / "b.step").read_bytes()
    assert capfd.readouterr().out == ""
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.step", "b.step"]


@pytest.mark.parametrize(
    ("said", "install"),
    [
        ("libGL.so.1: cannot open shared object file: No such file or directory", "apt-get install .*libgl1"),
        ("libX11.so.6: cannot open shared object file: No such file or directory", "apt-get install .*libx11-6"),
        ("No module named 'OCP'", r'pip install "pitwright\[step\]"'),
    ],
)
def test_a_kernel_that_cannot_start_says_what_to_install(said, install, monkeypatch):
    def refuse(name):
        raise ImportError(said)

    monkeypatch.setattr(importlib, "import_module", refuse)
    kernel_module.kernel.cache_clear()
    with pytest.raises(OutputError, match=install) as caught:
        kernel_module.kernel()
    kernel_module.kernel.cache_clear()
    assert isinstance(caught.value, OSError)
    assert caught.value.field == "pit.step"
    assert said in str(caught.value.as_dict()["value"])


def test_copies_weigh_alike_wherever_they_stand():
    (_, leg, _) = twisted_pit()
    first, second = placed_mass(leg)
    assert first.mass == second.mass
    assert combine((first, second)).mass == pytest.approx(2.0 * mass_of(leg).mass)


@needs_kernel
def test_long_bars_are_cut_from_long_enough_stock():
    from pitwright.solid.brep import brep_mass, brep_of

    bar = Bar.square(tube(0.1, 0.05, 0.004, system="metric"), 28.0)
    kernel = brep_mass(brep_of(bar))
    assert kernel.volume == pytest.approx(volume_of(bar).volume, rel=1e-6)
    assert kernel.centre == pytest.approx((14.0, 0.0, 0.0), abs=1e-9)


@needs_kernel
def test_corners_nearer_than_the_kernel_can_tell_are_one_corner():
    from pitwright.solid.brep import brep_mass, brep_of, is_sound

    k = math.tan(math.pi / 8.0)
    tip = 7e-18
    outline = Outline(
        ((0.0, -0.04), (0.04, -0.04), (0.08, -tip), (0.08, tip), (0.04, 0.04), (0.0, 0.04)), (0.0, k, 0.0, k, 0.0, 0.0)
    )
    eye = Plate(outline=outline, thickness=0.01)
    solid = brep_of(eye)
    assert is_sound(solid)
    assert brep_mass(solid).volume == pytest.approx((0.04 * 0.08 + math.pi * 0.04**2 / 2.0) * 0.01, rel=1e-9)
