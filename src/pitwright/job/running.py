"""The shop's habits for bases that stand, roll or travel: casters and feet, a cart's wheels and handles, a trailer's gear.

Weights and sizes of bought gear are starting figures (common practice, no source): put in those of what is bought.
"""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from pitwright.job.quantities import Length, Mass, ShareLength, Strict, habit


class StandRules(Strict):
    """A stand on casters or feet."""

    on: Literal["casters", "levelling feet", "foot plates"] = habit("casters", description="what is under the rails")
    at: Literal["end sets", "every set", "rail ends"] = habit(
        "end sets", description="where they stand along the rails"
    )
    casters_apart: ShareLength | None = Field(
        None, description="swivel to swivel (foot to foot) across the pit; under the rails where blank"
    )
    caster_height: Length = habit("7 1/2 in", gt=0.05, le=0.6, description="caster, floor to the top of its plate")
    caster_wheel: Length = habit("6 in", gt=0.03, le=0.5, description="caster wheel diameter")
    caster_width: Length = habit("2 in", gt=0.015, le=0.2, description="caster wheel width")
    caster_plate: Length = habit("4 in", gt=0.03, le=0.3, description="side of the caster's top plate")
    caster_trail: Length = habit("1 3/4 in", ge=0.0, le=0.1, description="swivel to wheel middle, level")
    caster_weight: Mass = habit("9 lb", gt=0.0, le=80.0, description="weight of one caster")
    caster_rating: Mass | None = Field(None, gt=0.0, description="what its maker lets one caster carry")
    foot_height: Length = habit("4 in", gt=0.02, le=0.6, description="levelling foot, floor to rail, screwed half out")
    foot_size: Length = habit("4 in", gt=0.03, le=0.4, description="side of a foot's plate on the floor")
    foot_plate: Length = habit("1/2 in", gt=0.003, le=0.05, description="thickness of a plain foot plate")
    stretcher: Length | None = Field(
        None,
        gt=0.0,
        le=1.5,
        description="a tie between the legs of each set, this high over the rails; none where blank",
    )
    knee: Length | None = Field(
        None, gt=0.0, le=1.0, description="a knee brace at each leg, this far along the rail and up; none where blank"
    )
    brace: str = habit("1-1/2 x 1-1/2 x 3/16 tube", description="stretcher and knee brace stock")
    pockets: bool = Field(False, description="fork pockets on a stand too")


class CartRules(Strict):
    """A cart of one axle, tipped up and pushed by two handles."""

    axle_in: ShareLength = habit("4 in", description="axle in from the fire seam, towards the stack")
    wheel: Length = habit("16 in", gt=0.1, le=1.2, description="wheel diameter")
    wheel_width: Length = habit("3 in", gt=0.02, le=0.4, description="wheel width over hub and tyre")
    wheel_clear: Length = habit("3/4 in", ge=0.0, le=0.2, description="wheel to rail")
    wheel_weight: Mass = habit("9 lb", gt=0.0, le=100.0, description="weight of one wheel")
    wheel_rating: Mass | None = Field(None, gt=0.0, description="what its maker lets one wheel carry")
    axle: str = habit("1 round", description="axle stock, under the rails")
    grips_past: ShareLength = habit("26 in", description="middle of the grips past the stack seam")
    grip_height: Length = habit("35 in", ge=0.6, le=1.2, description="grips over the floor, standing")
    grip_length: Length = habit("8 in", gt=0.1, le=0.6, description="level length a hand takes hold of")
    handle: str = habit("1-1/4 sch 40 pipe", description="handle stock")
    lift: Length = habit("4 in", gt=0.0, le=0.5, description="how high the grips are lifted to roll it")
    rest: str = habit("2 x 2 x 3/16 tube", description="rest leg stock")
    rest_foot: Length = habit("4 in", gt=0.03, le=0.3, description="side of a rest leg's foot plate")
    rest_plate: Length = habit("1/4 in", gt=0.002, le=0.03, description="thickness of a rest leg's foot plate")


class TrailerRules(Strict):
    """A trailer: tongue, axles, springs, fenders and what the road asks for."""

    tongue: Literal["a-frame", "straight"] = habit("a-frame", description="two beams that meet at the coupler, or one")
    tongue_end: Literal["stack", "fire"] = habit("stack", description="end it is towed by; the fire goes at the rear")
    tongue_stock: str = habit("4 x 3 x 1/4 tube", description="tongue beams")
    tongue_reach: ShareLength = habit("54 in", description="coupler ahead of the rails' end")
    tongue_bite: Length = habit("15 in", gt=0.1, le=2.0, description="how far the tongue runs back under the frame")
    axles: Literal[1, 2, "auto"] = habit("auto", description="one axle or two; by the weight where auto")
    one_axle_most: Mass = habit("3500 lb", gt=100.0, le=8000.0, description="heaviest pit that goes on one axle")
    axle_gap: Length = habit("33 in", gt=0.4, le=2.0, description="axle to axle where there are two")
    axle_drop: Length = habit("4 in", ge=0.0, le=0.3, description="dropped axle: beam under the hubs; 0 = straight")
    axle_weight: Mass = habit("85 lb", gt=0.0, le=600.0, description="weight of one axle with hubs and brakes")
    axle_rating: Mass | None = Field(None, gt=0.0, description="what its maker lets one axle carry")
    tyre: Length = habit("27 in", gt=0.3, le=1.3, description="tyre diameter, standing under load")
    tyre_width: Length = habit("8 1/4 in", gt=0.08, le=0.5, description="tyre width")
    tyre_clear: Length = habit("1 1/2 in", ge=0.01, le=0.2, description="tyre to fender, each side")
    tyre_over: Length = habit("3 in", ge=0.02, le=0.3, description="tyre to fender above, for the spring's travel")
    tyre_weight: Mass = habit("46 lb", gt=0.0, le=300.0, description="weight of one wheel with its tyre")
    tyre_rating: Mass | None = Field(
        None, gt=0.0, description="what its maker lets one tyre carry, cold pressure as stated"
    )
    spring: Length = habit("26 in", gt=0.3, le=1.5, description="leaf spring, eye to eye")
    spring_weight: Mass = habit("15 lb", gt=0.0, le=150.0, description="weight of one leaf spring")
    ride: Length = habit("6 in", gt=0.03, le=0.5, description="axle beam's middle to the rail's underside, loaded")
    fenders: Literal["plate", "bought", "none"] = habit("plate", description="fenders cut from plate, or bought")
    fender_plate: Length = habit("1/8 in", gt=0.001, le=0.01, description="fender plate")
    ball: str = habit("2-5/16 in", max_length=20, description="ball the coupler takes")
    coupler_height: Length = habit("17 in", ge=0.2, le=1.0, description="ball over the road, where the order says none")
    coupler_rating: Mass | None = Field(None, gt=0.0, description="gross trailer its maker lets the coupler take")
    road_clear: Length = habit("8 in", ge=0.05, le=0.6, description="lowest steel over the road, at least")
    pockets: bool = Field(False, description="fork pockets on a trailer too")
