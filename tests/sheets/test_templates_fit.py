"""Templates laid on the pit they were made for: leg tops, hole, corners, box edges, profile, saddles, throat."""

import math
from itertools import pairwise

import numpy as np
import pytest

import template_pits
from pitwright.geometry.tube_ends import arc_template
from pitwright.parts import arc_of
from pitwright.sheets.lettered import Text
from pitwright.sheets.shapes import Arc, Line, Polyline
from pitwright.sheets.templates.doors import corner_drawing, door_templates
from pitwright.sheets.templates.firebox import box_edges, edge_curve, firebox_templates, meets
from pitwright.sheets.templates.issue import templates
from pitwright.sheets.templates.legs import _GAP, faces, kinds, leg_templates, pipe_strips, struck_line
from pitwright.sheets.templates.profile import profile_templates
from pitwright.sheets.templates.saddles import saddle_line
from pitwright.sheets.templates.stack import stack_templates
from pitwright.sheets.templates.strips import strip_figures
from pitwright.tape import INCH

CLOSE = 1e-4
BOTH = pytest.mark.parametrize("side", ["left", "right"])


def cuts(drawing):
    return [p for p in drawing.primitives if getattr(p, "role", "") == "cut"]


def along(primitive, count=24):
    """Places on a drawn cut, arcs as arcs."""
    if isinstance(primitive, Line):
        ends = [(primitive.a, primitive.b, 0.0)]
    else:
        n = len(primitive.points)
        last = n if primitive.closed else n - 1
        bulges = primitive.bulges or (0.0,) * n
        ends = [(primitive.points[i], primitive.points[(i + 1) % n], bulges[i]) for i in range(last)]
    for p, q, bulge in ends:
        if bulge:
            (cx, cy), r, start, sweep = arc_of(p, q, bulge)
            for k in range(count + 1):
                a = start + sweep * k / count
                yield cx + r * math.cos(a), cy + r * math.sin(a)
        else:
            few = max(2, count // len(ends))
            for k in range(few + 1):
                yield p[0] + (q[0] - p[0]) * k / few, p[1] + (q[1] - p[1]) * k / few


def real(pit, v):
    """A vector of the pit's figures in the real pit: a left-hand one is its mirror image along x."""
    return np.array([pit.vessel.hand * v[0], v[1], v[2]])


@BOTH
@pytest.mark.parametrize("name", ["coped", "leaning both ways", "leaning, straight", "worked"])
def test_printed_leg_top_laid_on_every_real_leg_is_its_end(name, side):
    pit = template_pits.pit(name, firebox_side=side)
    made = {t.slug: t for t in leg_templates(pit)}
    done = 0
    for piece in kinds(pit):
        square, _ = struck_line(pit, piece.bar)
        wide, deep = piece.bar.profile.height, piece.bar.profile.width
        for part in piece.parts:
            for placement in part.placements:
                hand = ""
                if "leaning" in name:
                    hand = "-back" if placement.mirrored else "-working-side"
                drawing = made[f"leg-{'-'.join(piece.marks)}-top{hand}"].drawing
                labels = sorted(
                    (p.at[0], p.text) for p in drawing.primitives if isinstance(p, Text) and " face" in p.text
                )
                panels = [t for _, t in labels if not t.startswith("foot")]
                start = panels.index("outer face")
                up = real(pit, placement.direction((1.0, 0.0, 0.0)))
                outer = real(pit, placement.direction((0.0, 0.0, 1.0)))
                foot = real(pit, placement.origin)
                normals = [outer]
                for _ in range(3):
                    normals.append(np.cross(up, normals[-1]))  # the next face to the right, as seen from outside
                x = 0.0
                for k, label in enumerate(panels):
                    n = normals[(k - start) % 4]
                    width, half = (deep, wide / 2.0) if label in ("outer face", "inner face") else (wide, deep / 2.0)
                    if label in ("stack-end face", "fire-end face"):
                        assert (pit.vessel.hand * n[0] > 0.0) == (label == "stack-end face")
                    right, middle = np.cross(up, n), x + width / 2.0
                    for p in cuts(drawing):
                        for px, py in along(p):
                            if not x - 1e-9 <= px <= x + width + 1e-9:
                                continue
                            q = foot + up * (square + py) + n * half + right * (px - middle)
                            off = math.hypot(q[1], q[2] - pit.vessel.centre_z) - pit.vessel.outer_radius
                            if piece.leg.end == "coped":
                                assert abs(off) < CLOSE
                            else:
                                assert -1e-9 < off < 0.01  # a straight cut stands off the skin at its edges
                            done += 1
                    x += width + _GAP
    assert done >= 400


def test_side_faces_of_a_plain_leg_are_cut_to_a_true_arc_of_the_vessel():
    pit = template_pits.pit("coped")
    (drawing,) = [t.drawing for t in leg_templates(pit)]
    arcs = [p for p in cuts(drawing) if isinstance(p, Polyline) and any(p.bulges)]
    assert len(arcs) == 2
    (piece,) = kinds(pit)
    miss = pit.vessel.outer_radius * math.sin(piece.leg.top_cut)
    for arc in arcs:
        _, radius, _, _ = arc_of(arc.points[0], arc.points[1], arc.bulges[0])
        assert radius == pytest.approx(pit.vessel.outer_radius, abs=1e-6)
    rise = max(abs(a.points[0][1] - a.points[1][1]) for a in arcs)
    want = arc_template(pit.vessel.outer_radius, miss, piece.bar.profile.height)
    assert rise == pytest.approx(want.difference, rel=0.02)  # the saw cut of the notes goes through the same marks
    level = [f for f in faces(piece.bar) if f.name in ("outer", "inner")]
    assert all(max(y for _, y in f.edge) - min(y for _, y in f.edge) < 1e-9 for f in level)


@BOTH
def test_pipe_leg_strips_wrapped_on_the_real_legs_lie_on_the_shell_and_on_the_floor_plane(side):
    pit = template_pits.pit("pipe legs leaning both ways", firebox_side=side)
    made = {t.slug: t for t in leg_templates(pit)}
    for piece in kinds(pit):
        r = piece.bar.profile.height / 2.0
        for where, strip, _ in pipe_strips(piece):
            figures = strip_figures(pit, strip)
            for placement in piece.parts[0].placements:
                hand = "back" if placement.mirrored else "working-side"
                drawing = made[f"leg-{'-'.join(piece.marks)}-{where}-{hand}"].drawing
                (cut,) = [p for p in cuts(drawing) if isinstance(p, Polyline)]
                zero = next(p.at[0] for p in drawing.primitives if isinstance(p, Text) and p.text == "outer")
                start = 0.0 if zero < figures.girth / 2.0 else figures.girth
                leg = real(pit, placement.direction((1.0, 0.0, 0.0)))
                outer, foot = real(pit, placement.direction((0.0, 0.0, 1.0))), real(pit, placement.origin)
                up = leg if where == "foot" else -leg  # the paper's up: the cut end hangs down
                right = np.cross(up, outer)
                for x, y in along(cut):
                    n = math.cos((x - start) / r) * outer + math.sin((x - start) / r) * right
                    q = foot + up * (figures.most + y) + r * n
                    if where == "top":
                        assert math.hypot(q[1], q[2] - pit.vessel.centre_z) == pytest.approx(
                            pit.vessel.outer_radius, abs=CLOSE
                        )
                    else:
                        assert q[2] == pytest.approx(foot[2], abs=CLOSE)


@BOTH
@pytest.mark.parametrize("name", ["worked", "metric reverse"])
def test_printed_hole_laid_on_the_real_skin_is_the_bore_seen_down_the_pipe(name, side):
    pit = template_pits.pit(name, firebox_side=side)
    (drawing,) = [t.drawing for t in stack_templates(pit) if t.slug == "stack-hole"]
    (cut,) = cuts(drawing)
    vessel, stack = pit.vessel, pit.stack
    bore = stack.profile.height / 2.0 - stack.profile.wall
    for px, py in along(cut):
        clock = -py / vessel.outer_radius  # from above, the working side at the foot of the page
        x = -px  # then the page's right is the left of a person at the working side facing the pit, real -x
        y = vessel.outer_radius * math.sin(clock)
        assert math.hypot(x - vessel.hand * stack.x, y - stack.y) == pytest.approx(bore, abs=CLOSE)
    arrow = next(p for p in drawing.primitives if isinstance(p, Text) and p.text == "fire end")
    heads = [p for p in drawing.primitives if isinstance(p, Line) and p.role == "mark" and p.a[1] == p.b[1]]
    tip = min(heads, key=lambda p: abs(p.a[1] - arrow.at[1]))
    assert (tip.b[0] - tip.a[0]) * vessel.hand > 0.0  # a right-hand pit has its fire to the right


@BOTH
@pytest.mark.parametrize(
    ("edge", "end"), [("hinge", "fire"), ("hinge", "stack"), ("lower", "fire"), ("lower", "stack")]
)
def test_door_corner_has_its_arms_on_the_doors_side(edge, end, side):
    pit = template_pits.pit("worked", firebox_side=side)
    drawing = corner_drawing(pit, edge, end)
    level, upright = cuts(drawing)
    door = pit.doors[0]
    into = (door.x1 - door.x0) * (1.0 if end == "fire" else -1.0) * -pit.vessel.hand
    assert level.b[0] * into > 0.0
    assert (upright.b[1] < 0.0) == (edge == "hinge")
    assert abs(level.b[0]) == abs(upright.b[1]) > 0.1
    lap = pit.job.proportions.doors.band_overlap
    beyond = [p for p in drawing.primitives if isinstance(p, Polyline | Line) and p.role == "thin"]
    xs = [q[0] for p in beyond for q in p.reach()]
    assert (min(xs) if into > 0.0 else -max(xs)) == pytest.approx(-lap)


def test_door_corners_name_every_door_by_station_and_around():
    pit = template_pits.pit("worked")
    for template in door_templates(pit):
        text = " ".join(template.how)
        for door in pit.doors:
            x = door.x0 if "fire" in template.slug else door.x1
            assert f"{door.name}: station {pit.tape.length(pit.vessel.station(x))}" in text


@BOTH
def test_box_edges_lie_on_the_dish(side):
    pit = template_pits.pit("box on the dish", firebox_side=side)
    head, box = pit.vessel.fire_head, pit.firebox
    half, low, high = box.width / 2.0, -box.drop - box.height / 2.0, -box.drop + box.height / 2.0
    t = box.wall
    places = {
        "firebox bottom": lambda s: (s - half, low),
        "firebox roof": lambda s: (s - half, high - t),
        "firebox side": lambda s: (half, low + t + s),
    }
    landed = 0
    for edge in box_edges(pit):
        curve = edge_curve(edge)
        for (x0, y0), (x1, y1) in pairwise(curve):
            for f in (0.0, 0.3, 0.7):
                s, back = x0 + f * (x1 - x0), -(y0 + f * (y1 - y0))
                run = edge.width - s if edge.ends[0] in ("top", "working side") else s
                y, v = places[edge.piece](run)
                rho = math.hypot(y, v)
                if rho >= head.outer_radius:
                    assert back == pytest.approx(0.0, abs=CLOSE)
                    continue
                # Off the true ellipse, by the first-order distance: the value over its slope.
                value = (rho / head.outer_radius) ** 2 + (back / head.depth) ** 2 - 1.0
                slope = 2.0 * math.hypot(rho / head.outer_radius**2, back / head.depth**2)
                assert abs(value / slope) < CLOSE
                landed += 1
    assert landed > 100
    assert [t.slug for t in firebox_templates(pit)] == [
        f"{e.piece} {e.side}".strip().replace(" ", "-") for e in box_edges(pit) if meets(e)
    ]


def test_profile_is_the_outside_arc():
    for name in ("worked", "metric reverse"):
        pit = template_pits.pit(name)
        (drawing,) = [t.drawing for t in profile_templates(pit)]
        (arc,) = [p for p in drawing.primitives if isinstance(p, Arc)]
        assert arc.role == "cut"
        assert 2.0 * math.pi * arc.radius == pytest.approx(pit.vessel.around)


@pytest.mark.parametrize("name", ["left pipe on saddles", "saddles with ears"])
def test_saddle_plate_template_is_the_plate_of_the_parts_list(name):
    """The plate's own chord, radius and heights, as the pit states them, from the line it is laid on."""
    pit = template_pits.pit(name)
    (template,) = [t for t in templates(pit) if t.slug == "saddle-plate"]
    (cut,) = cuts(template.drawing)
    saddle = pit.saddles[0]
    assert len(cut.points) == (4 if name == "saddles with ears" else 2)
    k = next(i for i, b in enumerate(cut.bulges) if b)
    p, q = cut.points[k], cut.points[k + 1]
    _, radius, _, sweep = arc_of(p, q, cut.bulges[k])
    assert radius == pytest.approx(saddle.cut_radius)
    assert abs(sweep) == pytest.approx(saddle.contact)
    assert math.dist(p, q) == pytest.approx(saddle.chord)
    assert p[1] + saddle_line(pit) == pytest.approx(saddle.edge_height)
    low = radius - math.sqrt(radius**2 - (saddle.chord / 2.0) ** 2)
    assert saddle_line(pit) == pytest.approx(int((saddle.edge_height - low) / INCH - 0.03 / INCH) * INCH)
    assert template.marks == ("SP1",)


def test_pads_are_the_developed_blanks():
    pit = template_pits.pit("metric reverse")
    (part,) = [p for p in pit.parts if p.name == "leg pad"]
    (template,) = [t for t in templates(pit) if t.slug == "leg-pad"]
    (cut,) = cuts(template.drawing)
    x0, y0, x1, y1 = part.flat.bounds()
    assert {round(x1 - x0, 9), round(y1 - y0, 9)} == {
        round(max(p[k] for p in cut.points) - min(p[k] for p in cut.points), 9) for k in (0, 1)
    }
    # Neutral line in mid-wall: the blank times R over the middle radius is the skin it covers.
    shape = part.shape
    assert y1 - y0 == pytest.approx((shape.outer_radius - shape.wall / 2.0) * (shape.clock1 - shape.clock0))


def test_throat_template_is_the_window_of_the_pit():
    pit = template_pits.pit("worked")
    (template,) = [t for t in templates(pit) if t.slug == "throat-window"]
    (cut,) = cuts(template.drawing)
    assert cut.points == pit.throat.points
    assert cut.bulges == pit.throat.bulges
    r, big = pit.firebox.inside_width / 2.0, pit.vessel.inner_radius
    for y, v in along(cut):
        on_fire, on_shell = abs(math.hypot(y, v + pit.firebox.drop) - r), abs(math.hypot(y, v) - big)
        assert min(on_fire, on_shell, abs(v - pit.throat.bottom)) < 1e-9
