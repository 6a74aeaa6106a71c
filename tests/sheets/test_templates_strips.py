"""Strips against the exact curve of two rounds, solved afresh, and wrapped back onto the steel they mark."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

import template_pits
from pitwright.geometry.curves import HeadCope, Mitre, Saddle
from pitwright.geometry.heads import torispherical_head, two_to_one_head
from pitwright.sheets.shapes import Polyline
from pitwright.sheets.templates.firebox import cope_strip, copes
from pitwright.sheets.templates.stack import end_strips, inside_bite, saddle_strip
from pitwright.sheets.templates.strips import Strip, strip_curve, strip_drawing, strip_figures
from pitwright.tape import INCH

CLOSE = 1e-4  # a tenth of a millimetre


def strip_of(reach, radius, breaks=()):
    return Strip(title="trial", reach=reach, radius=radius, lines=16, sides={0: "0"}, breaks=breaks)


def between(points):
    """Corners of a drawn curve and places along every chord of it."""
    p = np.array(points)
    return np.concatenate([p, *(p[:-1] + f * (p[1:] - p[:-1]) for f in (0.25, 0.5, 0.75))])


def pairs(count):
    rng = np.random.default_rng(20260712)
    for _ in range(count):
        header = rng.uniform(0.1, 0.8)
        branch = header * rng.uniform(0.1, 0.9)
        offset = rng.uniform(-1.0, 1.0) * (header - branch) * 0.999
        yield header, branch, rng.uniform(math.radians(30.0), math.radians(150.0)), offset


def place(s, clock, branch, angle, offset):
    """A point of the branch's skin `s` along its axis, in the header's frame; written out here from the two axes."""
    along = np.array([math.cos(angle), 0.0, math.sin(angle)])
    first = np.array([math.sin(angle), 0.0, -math.cos(angle)])  # square to it, on the side it leans to
    side = np.array([0.0, 1.0, 0.0])
    return offset * side + s * along + branch * (math.cos(clock) * first + math.sin(clock) * side)


@pytest.mark.parametrize("pair", list(pairs(100)))
def test_strip_is_where_both_rounds_meet(pair):
    header, branch, angle, offset = pair
    pit = template_pits.pit("worked")
    saddle = Saddle(header_radius=header, branch_radius=branch, angle=angle, offset=offset)
    strip = strip_of(saddle.reach, branch)
    figures = strip_figures(pit, strip)

    def exact(clock):
        """Where the branch's line leaves the header, from both equations, by a library's root finder."""

        def off(s):
            _, y, z = place(s, clock, branch, angle, offset)
            return y * y + z * z - header * header

        low = branch * math.cos(clock) / math.tan(angle)  # level with the header's axis: inside it, or on its side
        return brentq(off, low, low + 3.0 * header / math.sin(angle), xtol=1e-12)

    curve = strip_curve(pit, strip)
    assert len(curve) < 1500
    for x, y in between(curve)[::7]:
        s = exact(x / branch)
        assert y + figures.most == pytest.approx(s, abs=CLOSE)
        _, py, pz = place(y + figures.most, x / branch, branch, angle, offset)
        sine = math.sqrt(max(1.0 - (py / header) ** 2, 0.0)) * math.sin(angle)
        assert abs(math.hypot(py, pz) - header) < CLOSE * max(sine, 0.5)  # wrapped back, it lies on the header


@pytest.mark.parametrize("pair", list(pairs(100))[::20])
def test_strip_is_the_intersection_edge_of_an_exact_solid_kernel(pair):
    """Open CASCADE (OCCT): the edges in which a branch's face and a header's face cut each other."""
    api = pytest.importorskip("OCP.BRepAlgoAPI")
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
    from OCP.TopAbs import TopAbs_EDGE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    header, branch, angle, offset = pair
    pit = template_pits.pit("worked")
    strip = strip_of(Saddle(header_radius=header, branch_radius=branch, angle=angle, offset=offset).reach, branch)
    most = strip_figures(pit, strip).most
    long = 20.0 * header
    big = BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(-long / 2.0, 0.0, 0.0), gp_Dir(1.0, 0.0, 0.0)), header, long).Shape()
    way = gp_Dir(math.cos(angle), 0.0, math.sin(angle))
    small = BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(0.0, offset, 0.0), way), branch, 6.0 * header).Shape()
    found = TopExp_Explorer(api.BRepAlgoAPI_Section(big, small).Shape(), TopAbs_EDGE)
    curve = np.array(strip_curve(pit, strip))
    seen = 0
    while found.More():
        edge = BRepAdaptor_Curve(TopoDS.Edge(found.Current()))
        for t in np.linspace(edge.FirstParameter(), edge.LastParameter(), 40):
            p = edge.Value(float(t))
            d = np.array([p.X(), p.Y() - offset, p.Z()])
            s = d @ np.array([math.cos(angle), 0.0, math.sin(angle)])
            clock = math.atan2(d[1], d @ np.array([math.sin(angle), 0.0, -math.cos(angle)])) % (2.0 * math.pi)
            if s < 1e-6:
                continue  # the branch's own flat foot, inside the header
            assert np.interp(branch * clock, curve[:, 0], curve[:, 1]) + most == pytest.approx(s, abs=CLOSE)
            seen += 1
        found.Next()
    assert seen >= 40


@given(
    radius=st.floats(0.02, 0.5),
    angle=st.floats(math.radians(-70.0), math.radians(70.0)),
)
def test_mitred_pipe_unrolls_to_a_cosine(radius, angle):
    """The development of a cylinder cut by a plane: r tan a cos(x / r) about its middle (descriptive geometry)."""
    pit = template_pits.pit("worked")
    strip = strip_of(Mitre(branch_radius=radius, angle=angle).reach, radius)
    figures = strip_figures(pit, strip)
    assert figures.depth == pytest.approx(2.0 * radius * abs(math.tan(angle)), abs=1e-9)
    for x, y in between(strip_curve(pit, strip)):
        want = radius * math.tan(angle) * math.cos(x / radius) - radius * abs(math.tan(angle))
        assert y == pytest.approx(want, abs=CLOSE / 2.0)


@settings(max_examples=30)
@given(outside=st.floats(0.2, 1.2), share=st.floats(0.2, 0.95), drop=st.floats(0.0, 0.95))
def test_strip_of_a_pipe_on_a_dished_end_lies_on_the_ellipse(outside, share, drop):
    wall = 0.006
    head = two_to_one_head(outside / 2.0, wall)
    cope = HeadCope(head=head, branch_radius=share * outside / 2.0, drop=drop * outside / 2.0)
    strip = cope_strip("trial", cope)
    pit = template_pits.pit("worked")
    figures = strip_figures(pit, strip)
    a, b = head.radius, head.depth  # the inside face is the true ellipse: the outside lies a wall off it
    for x, y in between(strip_curve(pit, strip))[::11]:
        clock = x / cope.branch_radius
        up = cope.branch_radius * math.cos(clock) - cope.drop
        rho = math.hypot(cope.branch_radius * math.sin(clock), up)
        height = y + figures.most
        if rho > head.outside_radius:
            assert height == pytest.approx(0.0, abs=2.0 * CLOSE)
            continue
        # Nearest distance to the inside ellipse, over a fine run of it; the wall where the point is on the outside.
        turn = np.linspace(0.0, math.pi / 2.0, 3001)
        off = np.hypot(a * np.sin(turn) - rho, b * np.cos(turn) - height).min()
        assert off == pytest.approx(wall, abs=CLOSE)


def test_strip_of_a_pipe_on_a_torispherical_end_lies_on_its_two_balls():
    head = torispherical_head(0.65, 1.0, 0.1, 0.006)
    cope = HeadCope(head=head, branch_radius=0.25, drop=0.2)
    strip, pit = cope_strip("trial", cope), template_pits.pit("metric reverse")
    figures = strip_figures(pit, strip)
    crown, knuckle = 0.65 + 0.006, 0.065 + 0.006
    ring = 0.325 - 0.065
    drop = 0.65 - math.sqrt((0.65 - 0.065) ** 2 - ring**2)  # inside depth: crown less the leg of its triangle
    seen = 0
    for x, y in between(strip_curve(pit, strip)):
        clock = x / 0.25
        rho = math.hypot(0.25 * math.sin(clock), 0.25 * math.cos(clock) - 0.2)
        height = y + figures.most
        if rho > head.outside_radius:
            continue
        on_crown = abs(math.hypot(rho, height + 0.65 - drop) - crown)
        on_knuckle = abs(math.hypot(rho - ring, height) - knuckle)
        assert min(on_crown, on_knuckle) < CLOSE
        seen += on_knuckle < CLOSE
    assert seen > 5


def test_depth_of_the_worked_stack_is_the_notes_own():
    """8-5/8 in pipe, 4 in behind the top of a 94-1/2 in around: 2.506 deep; on the top line 0.632 (worked by hand)."""
    deep = strip_figures(template_pits.pit("worked"), saddle_strip(template_pits.pit("worked"))).depth
    assert deep == pytest.approx(2.506 * INCH, abs=0.001 * INCH)
    saddle = Saddle(header_radius=94.5 / 2.0 / math.pi * INCH, branch_radius=4.3125 * INCH)
    pit = template_pits.pit("worked")
    assert strip_figures(pit, strip_of(saddle.reach, 4.3125 * INCH)).depth == pytest.approx(
        0.632 * INCH, abs=1e-3 * INCH
    )


def test_inner_edge_bites_at_the_sides_by_the_difference_of_two_circles():
    saddle = Saddle(header_radius=0.4, branch_radius=0.1)
    want = math.sqrt(0.4**2 - 0.09**2) - math.sqrt(0.4**2 - 0.1**2)
    assert inside_bite(saddle, 0.01) == pytest.approx(want, rel=1e-9)


@pytest.mark.parametrize("name", ["worked", "metric reverse"])
def test_strip_is_pi_times_the_outside_and_a_tab(name):
    pit = template_pits.pit(name)
    strip = saddle_strip(pit)
    figures = strip_figures(pit, strip)
    drawing = strip_drawing(pit, strip)
    x0, _, x1, y1 = drawing.bounds()
    assert figures.girth == pytest.approx(math.pi * pit.stack.profile.height)
    assert x1 - x0 == pytest.approx(figures.girth + figures.tab)
    assert figures.tab >= 0.02
    assert y1 == pytest.approx(figures.band)
    (cut,) = [p for p in drawing.primitives if isinstance(p, Polyline) and p.role == "cut"]
    assert cut.points[0][1] == pytest.approx(cut.points[-1][1], abs=1e-9)  # it closes on itself
    assert cut.points[-1][0] == pytest.approx(figures.girth)


@pytest.mark.parametrize("side", ["left", "right"])
@pytest.mark.parametrize("name", ["worked", "metric reverse", "coped"])
def test_printed_saddle_strip_wrapped_onto_the_real_pipe_lies_on_the_vessel(name, side):
    """The paper is wrapped as a hand does it: line 0 where it is lettered, then on to the right as seen from outside."""
    pit = template_pits.pit(name, firebox_side=side)
    stack, vessel, strip = pit.stack, pit.vessel, saddle_strip(pit)
    drawing = strip_drawing(pit, strip, turned_over=vessel.hand < 0)
    figures = strip_figures(pit, strip)
    (cut,) = [p for p in drawing.primitives if isinstance(p, Polyline) and p.role == "cut"]
    zero = next(p.at[0] for p in drawing.primitives if getattr(p, "text", "") == strip.sides[0])
    start = 0.0 if zero < figures.girth / 2.0 else figures.girth
    # A left-hand pit is the mirror image of its figures: real x is turned over.
    axis = np.array([vessel.hand * stack.x, stack.y, 0.0])
    faces = np.array([float(vessel.hand), 0.0, 0.0])  # line 0: towards the stack end
    up = np.array([0.0, 0.0, 1.0])
    right = np.cross(up, faces)
    r = stack.profile.height / 2.0
    for x, y in between(cut.points):
        turn = (x - start) / r
        p = axis + r * (math.cos(turn) * faces + math.sin(turn) * right)
        p = p + up * (vessel.centre_z + figures.most + y)
        assert math.hypot(p[1], p[2] - vessel.centre_z) == pytest.approx(vessel.outer_radius, abs=CLOSE)


def test_end_stack_halves_meet_in_one_plane():
    pit = template_pits.pit("end stack")
    _, elbow = end_strips(pit)
    r = pit.stack.profile.height / 2.0
    figures = strip_figures(pit, elbow)
    rim = [(r * math.cos(x / r), y + figures.most) for x, y in between(strip_curve(pit, elbow))]
    # Both pieces square to one another: the cut is a plane at 45 degrees through the corner, inside of the bend short.
    assert all(along == pytest.approx(out, abs=CLOSE) for out, along in rim)


def test_double_wall_has_a_strip_for_each_skin():
    pit = template_pits.pit("double wall")
    box = pit.firebox
    (inner, body), (outer, skin) = copes(pit)
    assert (inner, outer) == ("firebox body", "firebox outer skin")
    assert skin.branch_radius - body.branch_radius == pytest.approx(box.double_gap + box.outer_skin)
