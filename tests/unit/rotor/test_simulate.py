import math
from dataclasses import replace

import numpy as np
import pytest

from platewright.rotor.pull_out import Dive, ideal_height, pull_out
from platewright.rotor.rate_control import Drive, linear_law, rate_steps, step_response
from platewright.rotor.simulate import Rigid, State, at_rest, simulate, to_craft, to_ground

PLACES = 0.08 * np.array([[1, 1, 0], [-1, 1, 0], [-1, -1, 0], [1, -1, 0.0]])
SPINS = np.array([-1.0, 1.0, -1.0, 1.0])
CRAFT = Rigid(0.5, np.diag([1.6e-3, 2.0e-3, 3.0e-3]), PLACES, SPINS, 0.0, 0.02, np.zeros(3))
DRIVE = Drive(1e-6, 1e-8, 300.0, 3500.0)


def nothing(speeds, axial, edgewise):
    return 0 * speeds, 0 * speeds


def test_turns_there_and_back():
    turn = np.array([[math.cos(0.3), math.sin(0.3), 0, 0]])
    assert to_ground(turn, np.array([[0.0, 1.0, 0.0]]))[0] == pytest.approx([0, math.cos(0.6), math.sin(0.6)])
    v = np.array([[1.0, 2.0, 3.0]])
    assert to_craft(turn, to_ground(turn, v)) == pytest.approx(v)


def test_speed_follows_its_command_by_a_first_order_lag():
    start = at_rest(1, np.full(4, 1000.0))
    states = simulate(CRAFT, start, lambda s: np.full((1, 4), 2000.0), nothing, 0.06, 0.003)
    for n, s in enumerate(states):
        assert s.speeds[0, 0] == pytest.approx(2000 - 1000 * math.exp(-n * 0.003 / 0.02))


def test_free_fall_with_and_without_drag():
    start = at_rest(1, np.zeros(4))
    (*_, last) = simulate(CRAFT, start, lambda s: s.speeds, nothing, 1.0, 0.01)
    assert last.place[0, 2] == pytest.approx(-CRAFT.gravity / 2, rel=1e-9)
    craft = replace(CRAFT, drag=np.array([0, 0, 0.02]))
    (*_, last) = simulate(craft, start, lambda s: s.speeds, nothing, 6.0, 0.01)
    terminal = math.sqrt(2 * 0.5 * CRAFT.gravity / (1.225 * 0.02))  # v = terminal tanh(g t / terminal)
    assert -last.velocity[0, 2] == pytest.approx(terminal * math.tanh(CRAFT.gravity * 6 / terminal), rel=1e-4)


def test_rotors_that_speed_up_turn_the_frame_against_them():
    """Angular momentum of frame and rotors together stays none."""
    craft = replace(CRAFT, spin_inertia=6e-6)
    asked = np.where(SPINS > 0, 2000.0, 1000.0)[None]
    (*_, last) = simulate(craft, at_rest(1, np.full(4, 1000.0)), lambda s: asked, nothing, 0.2, 0.001)
    gained = 6e-6 * float((last.speeds[0] - 1000) @ SPINS)
    assert 3.0e-3 * last.rates[0, 2] == pytest.approx(-gained)


def test_a_small_step_is_the_second_order_response():
    """K = 1/(2 tau): damping 0.707, overshoot exp(-pi) = 4.3 %, rise 2.15 over 1/(sqrt(2) tau)."""
    steps = np.radians(np.diag([1.0, 1.0, 0.2]))
    step = CRAFT.lag / 100
    states = rate_steps(CRAFT, DRIVE, steps, 18 * CRAFT.lag, step)
    for case in range(3):
        r = step_response(CRAFT, DRIVE, states, steps, case, step)
        assert r.overshoot == pytest.approx(math.exp(-math.pi), abs=2e-3)  # the controller holds for a hundredth of tau
        assert r.rise_time == pytest.approx(2.149 * math.sqrt(2) * CRAFT.lag, rel=0.01)
        assert r.steady_error == pytest.approx(0, abs=1e-4)
        assert r.limited == 0
        assert r.cross_rate < 1e-4


def test_a_heavier_tensor_and_a_large_step_are_limited_by_the_rotors():
    slow = replace(CRAFT, inertia=20 * CRAFT.inertia)
    steps = np.array([[0.0, 10.0, 0.0]])
    states = rate_steps(slow, DRIVE, steps, 0.3, 0.001)
    r = step_response(slow, DRIVE, states, steps, 0, 0.001)
    assert r.limited > 0.05
    room = DRIVE.thrust_factor * (DRIVE.full**2 - DRIVE.idle**2)
    fastest = room * 4 * 0.08 / 2 / (20 * 2.0e-3)  # half of the rotors at each limit
    rates = np.array([s.rates[0, 1] for s in states])
    assert np.diff(rates).max() / 0.001 == pytest.approx(fastest, rel=0.01)


def test_axial_inflow_damps_and_leaves_an_error():
    damped = replace(DRIVE, inflow=4e-5)
    steps = np.array([[3.0, 0.0, 0.0]])
    states = rate_steps(CRAFT, damped, steps, 0.3, 0.001)
    moment = 4 * 0.08**2 * 4e-5 * math.sqrt(0.5 * CRAFT.gravity / 4 / 1e-6) / 1.6e-3  # over rate and inertia
    expected = moment / (moment + 1 / (2 * CRAFT.lag))
    # rotors' mean speed moves with the step, and the falling craft sees some air
    assert step_response(CRAFT, damped, states, steps, 0, 0.001).steady_error == pytest.approx(expected, rel=0.1)


def test_a_product_of_inertia_stirs_the_other_axis_no_more_than_the_controller_allows():
    coupled = CRAFT.inertia.copy()
    coupled[0, 2] = coupled[2, 0] = -4e-4
    steps = np.array([[3.0, 0.0, 0.0]])
    craft = replace(CRAFT, inertia=coupled)
    one = step_response(craft, DRIVE, rate_steps(craft, DRIVE, steps, 0.3, 0.001), steps, 0, 0.001)
    two = step_response(CRAFT, DRIVE, rate_steps(CRAFT, DRIVE, steps, 0.3, 0.001), steps, 0, 0.001)
    assert one.cross_rate > two.cross_rate


def test_quick_motors_pull_out_as_the_closed_form_says():
    craft = replace(CRAFT, lag=1e-3)
    dive = Dive(20.0, math.radians(60), 3.0)
    done = pull_out(craft, DRIVE, linear_law(DRIVE), dive, 5e-4)
    assert done.height == pytest.approx(ideal_height(dive, craft.gravity), rel=0.01)
    assert done.speed == pytest.approx(20 * (3 - 0.5) / 2, rel=0.01)
    assert done.peak_load == pytest.approx(3.0, rel=0.01)
    assert done.limited == 0


def test_slow_motors_lose_more_height_and_weak_ones_are_limited():
    dive = Dive(20.0, math.radians(60), 3.0)
    lost = [pull_out(replace(CRAFT, lag=t), DRIVE, linear_law(DRIVE), dive, 2e-3).height for t in (0.01, 0.03, 0.06)]
    assert lost == sorted(lost)
    weak = replace(DRIVE, full=math.sqrt(2.2 * 0.5 * CRAFT.gravity / 4 / 1e-6))
    done = pull_out(CRAFT, weak, linear_law(weak), dive, 2e-3)
    assert done.limited > 0.3
    assert done.peak_load < 2.3
    none = replace(DRIVE, full=math.sqrt(0.9 * 0.5 * CRAFT.gravity / 4 / 1e-6))
    assert math.isnan(pull_out(CRAFT, none, linear_law(none), dive, 2e-3).height)


def test_states_are_of_all_cases():
    states = rate_steps(CRAFT, DRIVE, np.radians(np.diag([100.0, 100.0, 50.0])), 0.02, 0.001)
    assert isinstance(states[-1], State)
    assert states[-1].rates.shape == (3, 3)
    assert len(states) == 21
