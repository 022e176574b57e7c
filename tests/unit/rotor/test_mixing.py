import itertools
import math

import numpy as np
import pytest

from platewright.rotor.mixing import Query, allocate, effectiveness, is_controllable, mixer, most_along, most_of_each

RING = {n: [(math.cos(a), math.sin(a), 0.0) for a in 2 * math.pi * (np.arange(n) + 0.5) / n] for n in (4, 6, 8)}


def matrix(places, spins=None, torque=0.01):
    spins = [(-1) ** k for k in range(len(places))] if spins is None else spins
    return effectiveness(0.1 * np.array(places), np.tile([0.0, 0.0, 1.0], (len(places), 1)), spins, torque)


COAXIAL = matrix([*RING[4], *((x, y, -0.5) for x, y, _ in RING[4])], [1, -1, 1, -1, -1, 1, -1, 1])
FRAMES = {"4": matrix(RING[4]), "6": matrix(RING[6]), "8": matrix(RING[8]), "coaxial": COAXIAL}
UNEVEN = matrix([(1.3, 0.9, 0), (-0.7, 1.1, 0), (-0.8, -1.1, 0), (1.2, -0.9, 0)])


def test_signs_of_the_axes():
    """Left up is roll, tail up is pitch; a rotor that turns counter-clockwise drives the frame clockwise."""
    left_tail = effectiveness([[-0.1, 0.2, 0.3]], [[0, 0, 1]], [1], 0.02)[:, 0]
    assert left_tail == pytest.approx([1.0, 0.2, 0.1, -0.02])


def test_a_tilted_axis_gives_side_force_its_lever():
    tilted = effectiveness([[0, 0, 0.1]], [[0, math.sin(0.1), math.cos(0.1)]], [1], 0.0)[:, 0]
    assert tilted == pytest.approx([math.cos(0.1), -0.1 * math.sin(0.1), 0, 0])


@pytest.mark.parametrize("name", FRAMES)
def test_all_frames_can_be_controlled_and_one_way_of_turning_cannot(name):
    b = FRAMES[name]
    assert is_controllable(b)
    same = b.copy()
    same[3] = 0.01
    assert not is_controllable(same)


@pytest.mark.parametrize("b", [*FRAMES.values(), UNEVEN], ids=[*FRAMES, "uneven"])
def test_shares_within_the_limits_give_the_wrench_with_least_norm(b):
    wrench = np.array([10.0, 0.05, -0.04, 0.003])
    thrusts = allocate(b, wrench, 0.0, 20.0)
    assert b @ thrusts == pytest.approx(wrench, abs=1e-9)
    _, _, v = np.linalg.svd(b)
    for other in v[4:]:  # whatever does nothing to the craft only makes the norm larger
        assert thrusts @ other == pytest.approx(0, abs=1e-9)


def test_shares_beyond_the_limits_are_the_nearest():
    """Six rotors, one of them at its limit: the others still give all that is asked for."""
    b = FRAMES["6"]
    wrench = np.array([12.0, 0.25, 0.0, 0.0])
    free = np.linalg.pinv(b) @ wrench
    high = free.max() - 0.05
    thrusts = allocate(b, wrench, 0.0, high)
    assert thrusts.max() <= high + 1e-9
    assert b @ thrusts == pytest.approx(wrench, abs=1e-4)


def corners(b, direction, low, high, held):
    """Search all vertices: all but three rotors at a limit; those three and s follow from the four rows."""
    n = b.shape[1]
    best = 0.0
    along = np.concatenate([[0.0], direction])
    for free in itertools.combinations(range(n), 3):
        rest = [k for k in range(n) if k not in free]
        system = np.column_stack([b[:, free], -along])
        if abs(np.linalg.det(system)) < 1e-12:
            continue
        for ends in itertools.product((low, high), repeat=len(rest)):
            x = np.linalg.solve(system, held - b[:, rest] @ np.array(ends))
            if np.all(x[:3] >= low - 1e-9) and np.all(x[:3] <= high + 1e-9):
                best = max(best, x[3])
    return best


@pytest.mark.parametrize("name", ["4", "6", "coaxial"])
@pytest.mark.parametrize("direction", [(1, 0, 0), (0, -1, 0), (0, 0, 1), (0.6, 0.8, 0.05)])
def test_the_most_is_that_of_a_search_of_all_vertices(name, direction):
    b, held = FRAMES[name], np.array([2.0 * FRAMES[name].shape[1], 0, 0, 0])
    assert most_along(b, direction, 0.2, 9.0, held) == pytest.approx(corners(b, direction, 0.2, 9.0, held), rel=1e-6)


def test_the_most_with_thrust_free_is_half_of_the_rotors_at_each_limit():
    b = FRAMES["4"]
    arm = 0.1 * math.sqrt(0.5)
    held = [8.0, 0, 0, 0]
    assert most_along(b, (1, 0, 0), 0.0, 9.0, held, thrust_free=True) == pytest.approx(2 * 9.0 * arm)
    assert most_along(b, (1, 0, 0), 0.0, 9.0, held) == pytest.approx(8.0 * arm)
    assert most_along(b, (0, 0, 1), 0.0, 9.0, held) == pytest.approx(8.0 * 0.01)
    assert math.isnan(most_along(b, (0, 0, 1), 0.0, 1.0, held))


@pytest.mark.parametrize("name", FRAMES)
def test_mixer_gives_what_fits_and_gives_up_yaw_first(name):
    b = FRAMES[name]
    n = b.shape[1]
    mix = mixer(b, 0.1, 5.0)
    fits = np.array([[1.5 * n, 0.02, -0.03, 0.002]])
    assert (mix(fits) @ b.T)[0] == pytest.approx(fits[0])
    got = (mix(np.array([[1.5 * n, 0.2, 0.1, 5.0]])) @ b.T)[0]
    assert got[1:3] == pytest.approx([0.2, 0.1])
    assert 0 < got[3] < 5.0
    huge = (mix(np.array([[0.0, 50.0, 25.0, 5.0]])) @ b.T)[0]
    assert huge[1] / huge[2] == pytest.approx(2)
    many = mix(np.random.default_rng(1).normal(size=(50, 4)) * [20, 2, 2, 1])
    assert many.min() >= 0.1 - 1e-12
    assert many.max() <= 5.0 + 1e-12


def test_many_queries_at_once_give_what_each_gives_alone():
    queries = [Query(b, d, [12.0, 0, 0, 0], free) for b in FRAMES.values() for d in np.eye(3) for free in (False, True)]
    each = [most_along(q.matrix, q.direction, 0.2, 9.0, q.held, thrust_free=q.thrust_free) for q in queries]
    assert most_of_each(queries, 0.2, 9.0) == pytest.approx(each)
    some = most_of_each([queries[0], Query(FRAMES["4"], [1, 0, 0], [99.0, 0, 0, 0])], 0.2, 9.0)
    assert some[0] == pytest.approx(each[0])
    assert math.isnan(some[1])
