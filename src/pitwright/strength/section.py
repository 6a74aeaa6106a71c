"""What the member checks ask of a section. `pitwright.stock.Profile` fits it as it is."""

from __future__ import annotations

from typing import Protocol


class Section(Protocol):
    """Section figures, axes x across and y upright; meanings as in `pitwright.stock.Profile` [m, m2, m3, m4]."""

    @property
    def designation(self) -> str:
        """Name of the size."""

    @property
    def kind(self) -> str:
        """tube, pipe, angle, channel, flat or round."""

    @property
    def height(self) -> float:
        """Outside height."""

    @property
    def width(self) -> float:
        """Outside width."""

    @property
    def wall_design(self) -> float:
        """Wall to reckon strength with."""

    @property
    def flange(self) -> float:
        """Flange thickness of a channel."""

    @property
    def area(self) -> float:
        """Design area."""

    @property
    def mass_per_length(self) -> float:
        """Weight by length [kg/m]."""

    @property
    def ix(self) -> float:
        """Second moment about x."""

    @property
    def iy(self) -> float:
        """Second moment about y."""

    @property
    def sx(self) -> float:
        """Elastic modulus about x."""

    @property
    def sy(self) -> float:
        """Elastic modulus about y."""

    @property
    def zx(self) -> float:
        """Plastic modulus about x."""

    @property
    def zy(self) -> float:
        """Plastic modulus about y."""

    @property
    def rx(self) -> float:
        """Radius of gyration about x."""

    @property
    def ry(self) -> float:
        """Radius of gyration about y."""

    @property
    def r_least(self) -> float:
        """Least radius of gyration."""

    @property
    def j(self) -> float:
        """Torsion constant."""
