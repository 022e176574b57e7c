"""Rigid motions of the plane: mirror, then turn, then shift [mm, rad]."""

from __future__ import annotations

import math
from dataclasses import dataclass

__all__ = ["Isometry"]


@dataclass(frozen=True)
class Isometry:
    """A rigid motion of the plane: mirror y to -y when `flip`, then turn, then shift."""

    cos: float = 1.0
    sin: float = 0.0
    flip: bool = False
    tx: float = 0.0
    ty: float = 0.0

    @staticmethod
    def from_turn(angle_rad: float, tx: float = 0.0, ty: float = 0.0, flip: bool = False) -> Isometry:
        """Return the motion of a turn [rad], a shift [mm] and a mirroring; quarter turns are exact.

        Examples
        --------
        >>> Isometry.from_turn(math.pi / 2, tx=1.0).apply(2.0, 0.0)
        (1.0, 2.0)
        """
        quarters = angle_rad / (math.pi / 2)
        if abs(quarters - round(quarters)) < 1e-14:
            cos, sin = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarters) % 4]
        else:
            cos, sin = math.cos(angle_rad), math.sin(angle_rad)
        return Isometry(cos, sin, flip, tx, ty)

    def apply(self, x: float, y: float) -> tuple[float, float]:
        """Return the moved point [mm]."""
        if self.flip:
            y = -y
        return self.cos * x - self.sin * y + self.tx, self.sin * x + self.cos * y + self.ty

    def inverse(self) -> Isometry:
        """Return the motion that undoes this one."""
        sin = self.sin if self.flip else -self.sin
        back = Isometry(self.cos, sin, self.flip)
        x, y = back.apply(self.tx, self.ty)
        return Isometry(self.cos, sin, self.flip, -x, -y)

    def then(self, other: Isometry) -> Isometry:
        """Return the motion of this one followed by `other`."""
        sign = -1.0 if other.flip else 1.0
        cos = other.cos * self.cos - sign * other.sin * self.sin
        sin = other.sin * self.cos + sign * other.cos * self.sin
        tx, ty = other.apply(self.tx, self.ty)
        return Isometry(cos, sin, self.flip != other.flip, tx, ty)
