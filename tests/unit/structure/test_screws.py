"""Screws under tension, shear and bending together."""

from __future__ import annotations

import math

import pytest

from platewright.structure.screws import ScrewLimits, energy_to_fracture, screw_use

M3 = ScrewLimits.of(5.031, 2.387, 1220, 732)


def test_ultimate_load_of_an_m3_is_that_of_the_standard() -> None:
    """ISO 898-1: 6140 N for M3 12.9, printed to three figures."""
    assert M3.tension == pytest.approx(6140, rel=1e-3)


def test_alone_each_breaks_it_at_its_limit() -> None:
    assert screw_use(M3, M3.tension, 0, 0) == pytest.approx(1)
    assert screw_use(M3, 0, M3.shear, 0) == pytest.approx(1)
    assert screw_use(M3, 0, 0, -M3.moment) == pytest.approx(1)


def test_together_they_add_up_and_pressure_does_not_help() -> None:
    assert screw_use(M3, M3.tension / 2, 0, M3.moment / 2) == pytest.approx(1)
    assert screw_use(M3, 0.6 * M3.tension, 0.8 * M3.shear, 0) == pytest.approx(1)
    assert screw_use(M3, -5000, 0.5 * M3.shear, 0) == pytest.approx(0.5)


def test_a_weak_head_lowers_tension_only() -> None:
    button = ScrewLimits.of(5.031, 2.387, 1220, 732, 0.8)
    assert button.tension == pytest.approx(0.8 * M3.tension)
    assert (button.shear, button.moment) == (M3.shear, M3.moment)


def test_plastic_moment_is_17_tenths_of_the_elastic_one() -> None:
    """16 / (3 pi) for a round section."""
    assert M3.moment / (1220 * math.pi * 2.387**3 / 32) == pytest.approx(16 / (3 * math.pi))


def test_work_until_it_breaks() -> None:
    assert energy_to_fracture(5.0, 4.0, 900, 1100, 0.10) == pytest.approx(1000 * 0.10 * 20)
