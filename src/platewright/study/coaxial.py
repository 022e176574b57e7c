"""What rotors on one axis do to one another in hover, with its band, in numbers and in a sentence."""

from __future__ import annotations

from dataclasses import dataclass

from platewright.foundation.units import MM_PER_M
from platewright.rotor.coaxial import PUBLISHED, WAKE_BAND, Pair, pair_at_rest
from platewright.study.powertrain import Powertrain

__all__ = ["CoaxialReport", "coaxial_report", "coaxial_words", "pair_of"]

_PERCENT = 100.0


@dataclass(frozen=True)
class CoaxialReport:
    """Rotors on one axis, in hover, both at one speed; bands hold wakes of 0.7 to 1.3 times the strength reckoned.

    Parameters
    ----------
    gap_mm : float
        Between the discs of a pair.
    lower_lost_percent, lower_lost_band_percent : float, (float, float)
        Thrust that the lower rotor loses to the upper wake.
    power_ratio, power_ratio_band : float, (float, float)
        Induced power of a pair over that of two rotors apart with the same thrust in all.
    published_ratio : (float, float)
        Published range of it; Leishman, ch. 2, from memory.
    """

    gap_mm: float
    lower_lost_percent: float
    lower_lost_band_percent: tuple[float, float]
    power_ratio: float
    power_ratio_band: tuple[float, float]
    published_ratio: tuple[float, float]


def pair_of(train: Powertrain, wakes: float = 1.0) -> Pair | None:
    """Return what rotors on one axis do to one another; None where each has an axis of its own.

    Parameters
    ----------
    train : Powertrain
        Of a design.
    wakes : float
        Strength of their wakes over what is reckoned [-].
    """
    return None if train.pair_gap is None else pair_at_rest(train.propeller, train.pair_gap, wakes)


def coaxial_report(train: Powertrain, speed: float) -> CoaxialReport | None:
    """Return what pairs cost in hover; None where each rotor has an axis of its own.

    Parameters
    ----------
    train : Powertrain
        Of a design.
    speed : float
        Of rotation in hover [rad/s].
    """
    if train.pair_gap is None:
        return None
    found = [pair_at_rest(train.propeller, train.pair_gap, wakes).at(speed) for wakes in (1.0, *WAKE_BAND)]
    (lost, ratio), (least, low), (most, high) = found
    return CoaxialReport(
        train.pair_gap * MM_PER_M,
        _PERCENT * lost,
        (_PERCENT * least, _PERCENT * most),
        ratio,
        (low, high),
        PUBLISHED,
    )


def coaxial_words(report: CoaxialReport) -> str:
    """Say it in one sentence.

    Parameters
    ----------
    report : CoaxialReport
        From `coaxial_report`.
    """
    lost, ratio, published = report.lower_lost_band_percent, report.power_ratio_band, report.published_ratio
    return (
        f"coaxial pairs, discs {report.gap_mm:.0f} mm apart: in hover the lower rotor loses "
        f"{report.lower_lost_percent:.0f} % ({lost[0]:.0f} to {lost[1]:.0f}) of its thrust at the upper one's speed, "
        f"and the pair takes {report.power_ratio:.2f} ({ratio[0]:.2f} to {ratio[1]:.2f}) times the induced power of "
        f"two rotors apart; published {published[0]:g} to {published[1]:g} (Leishman, ch. 2, from memory)"
    )
