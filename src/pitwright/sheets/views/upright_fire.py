"""The fire of a vessel on end drawn: gas by height in shades, and the heat from the lowest grate to the highest."""

from __future__ import annotations

import numpy as np

from pitwright.fire.from_upright import path_start
from pitwright.fire.result import SteadyFire
from pitwright.fire.uncertainty import Uncertainty
from pitwright.layout.model import Pit
from pitwright.meridian import faces
from pitwright.parts import Outline
from pitwright.sheets.drawing import Drawing
from pitwright.sheets.views.chart import even_steps
from pitwright.sheets.views.common import pit_sketch
from pitwright.sheets.views.fire_charts import Axis, Curve, Curves
from pitwright.sheets.views.fire_section import Shades, degree_steps
from pitwright.sheets.views.upright_wants import of

BANDS = 40


def gas_at(fire: SteadyFire, path: float) -> float:
    """Mean gas over the section at a height over the window's middle [K]."""
    both = (np.asarray(fire.lower) + np.asarray(fire.upper)) / 2.0
    return float(np.interp(path, np.asarray(fire.x), both))


def section_on_end(pit: Pit, fire: SteadyFire, shades: Shades) -> Drawing:
    """The vessel cut along the firebox, from the front, shaded by the gas at each height."""
    s, vessel, box, stack, own, tape = pit_sketch(pit), pit.vessel, pit.firebox, pit.stack, of(pit), pit.tape
    way, inner, start = -float(vessel.hand), vessel.inner_radius, path_start(pit)
    low, high = vessel.seam_z, vessel.seam_z + vessel.length

    def band(x0: float, z0: float, x1: float, z1: float, gas: float) -> None:
        a, b = sorted((way * x0, way * x1))
        s.fill(Outline.rectangle(a, z0, b, z1), shades.tone(shades.step(gas)))

    for i in range(BANDS):
        z0, z1 = (low + (high - low) * k / BANDS for k in (i, i + 1))
        band(-inner, z0, inner, z1, gas_at(fire, (z0 + z1) / 2.0 - start))
    for head, z, up, gas in (
        (vessel.fire_head, low + vessel.fire_tangent, -1.0, gas_at(fire, 0.0)),
        (vessel.stack_head, high + vessel.stack_tangent - vessel.length, 1.0, fire.stack_in),
    ):
        if head is not None and head.kind != "flat":
            half_line = [(rho, z + up * x) for rho, x in faces(head)[1]]
            outline = (*((-rho, at) for rho, at in half_line), *((rho, at) for rho, at in reversed(half_line)))
            s.fill(Outline.polygon(outline), shades.tone(shades.step(gas)))
            s.lines(outline, title="head")
    half = box.inside_height / 2.0
    band(box.x0 + box.end_plate, box.centre_z - half, -inner, box.centre_z + half, fire.fire_gas)
    bore = stack.profile.height / 2.0 - stack.profile.wall
    if stack.place == "head":
        pieces = 6
        for i in range(pieces):
            z0, z1 = (stack.base_z + (stack.top_z - stack.base_z) * k / pieces for k in (i, i + 1))
            gas = fire.stack_in + (fire.stack_out - fire.stack_in) * (i + 0.5) / pieces
            band(-bore, z0, bore, z1, gas)
        s.rectangle(-bore, stack.base_z, bore, stack.top_z, title="stack")
    s.rectangle(-inner, low, inner, high, title="shell")
    a, b = sorted((way * (box.x0 + box.end_plate), way * -inner))
    s.rectangle(a, box.centre_z - half, b, box.centre_z + half, title="firebox")
    if own.spreader is not None:
        r = own.spreader.diameter / 2.0
        s.line((-r, own.spreader.z), (r, own.spreader.z), title=own.spreader.kind)
    for grate in own.grates:
        s.line((-grate.diameter / 2.0, grate.z), (grate.diameter / 2.0, grate.z), title=grate.name)
        s.text((0.0, grate.z + 0.03), tape.temperature(gas_at(fire, grate.z - start)), anchor="middle", seat="middle",
               height=2.4, plate=True)  # fmt: skip
    s.text(
        ((a + b) / 2.0, box.centre_z),
        tape.temperature(fire.fire_gas),
        anchor="middle",
        seat="middle",
        bold=True,
        plate=True,
    )
    skins = {skin.name: skin.temperature for skin in fire.skins}
    s.callout(
        (b if way > 0 else a, box.centre_z - half), f"firebox skin {tape.temperature(skins['firebox'])}", toward=-0.8
    )
    s.callout((-way * -inner, high - 0.1), f"shell skin {tape.temperature(skins['chamber above the grate'])}",
              toward=0.3 if way > 0 else 2.8)  # fmt: skip
    s.callout((0.0, stack.top_z), f"smoke leaves at {tape.temperature(fire.stack_out)},\nentered the stack at "
              f"{tape.temperature(fire.stack_in)}", toward=0.4)  # fmt: skip
    if low < fire.neutral < high:
        s.line((-inner, fire.neutral), (inner, fire.neutral), "ghost")
        s.callout(
            (way * inner, fire.neutral), "above this line the chamber presses outward", toward=0.0 if way > 0 else 3.1
        )
    x0, _, x1, _ = s.bounds()
    s.line((x0 - 0.05, 0.0), (x1 + 0.05, 0.0), "ground")
    return s.drawing()


def grates_chart(pit: Pit, fire: SteadyFire, bands: Uncertainty | None) -> Curves:
    """Gas and bare thermometers from the lowest grate to the highest, by height off the floor."""
    tape, grate, start = pit.tape, fire.grates[0], path_start(pit)
    limit = pit.job.order.spread
    middle = float(grate.gas.max() + grate.gas.min()) / 2.0
    xs = [float(x) + start for x in grate.x]
    band: tuple[tuple[float, float, float], ...] = ()
    if bands is not None and bands.bands:
        band = tuple(
            (float(x) + start, float(np.interp(x, bands.x, bands.grate_low)), float(np.interp(x, bands.x, bands.grate_high)))
            for x in grate.x
        )  # fmt: skip
    low = min([float(grate.reading.min()), middle - limit / 2.0, *(b[1] for b in band)])
    high = max([float(grate.gas.max()), middle + limit / 2.0, *(b[2] for b in band)])
    unit = 0.3048 / 2.0 if tape.inch else 0.1
    curves = (
        Curve(tuple(zip(xs, map(float, grate.gas))), "accent", "gas"),
        Curve(tuple(zip(xs, map(float, grate.reading))), "hidden", "what a bare thermometer lying there reads"),
    )
    marks = tuple((g.z, float(np.interp(g.z - start, grate.x, grate.reading))) for g in of(pit).grates)
    return Curves(
        f"From the lowest grate to the highest: spread {tape.temperature_difference(grate.spread)}",
        curves,
        across=Axis(even_steps(min(xs), max(xs), unit, 5), tape.length, "off the floor; 1, 2 ...: the grates"),
        up=Axis(degree_steps(tape, low, high), tape.temperature, "temperature"),
        band=band,
        band_name="nine burns in ten would lie in here" if band else "",
        levels=(
            (middle + limit / 2.0, f"order: {tape.temperature_difference(limit)} apart at most"),
            (middle - limit / 2.0, ""),
        ),
        marks=marks,
    )
