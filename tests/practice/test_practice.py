"""Adaptive rules, circles, stick place and the catalogue."""

import math

import numpy as np
import pytest
from benchmarks.practice import BALLS, WITHIN, far_from_spot, found_share, rules, settled_rate
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import dblquad

from firstbounce.errors import CannotEstimate, ParameterError
from firstbounce.practice.adapt import Ladder, threshold, up_down, weighted
from firstbounce.practice.circles import circle_size
from firstbounce.practice.stick import PRIOR_POWER, PRIOR_STICK_M, stick_model, stick_prior
from firstbounce.services.practice import find_drill, shipped_drills
from firstbounce.technique.marks import DRILLS
from firstbounce.words import Fault


@pytest.mark.parametrize(("hits", "rate"), [(1, 0.5), (2, 0.7071), (3, 0.7937), (4, 0.8409)])
def test_rates_of_up_down_rules(hits, rate):
    # Levitt 1971 (read: opening): p = 0.5^(1/k).
    assert up_down(hits).target == pytest.approx(rate, abs=1e-4)


@pytest.mark.parametrize(
    # Kaernbach 1991 (read: abstract): step easier over step harder = p / (1 - p); ratios computed.
    ("rate", "ratio"),
    [(0.6, 1.5), (0.7, 7 / 3), (0.75, 3.0), (0.8, 4.0), (0.85, 17 / 3)],
)
def test_weighted_steps(rate, ratio):
    rule = weighted(rate)
    assert rule.target == pytest.approx(rate)
    assert math.log(rule.easier) / math.log(rule.harder) == pytest.approx(ratio)
    assert max(rule.easier, rule.harder) == pytest.approx(1.15)


@pytest.mark.parametrize("name", rules(1.05))
def test_rules_settle_at_their_exact_rates(name):
    rule = rules(1.05)[name]
    rate = settled_rate(rule, far_from_spot(np.random.default_rng(4), (1.0, 0.7, 0.0), BALLS), 1.6)
    assert rate == pytest.approx(rule.target, abs=WITHIN)


def test_the_radius_is_found_in_thirty_balls():
    # Measured over 1,000 runs by benchmarks/practice.py: see docs/practice.md.
    good, held = found_share(up_down(2, 1.15, 0.05, 60), (1.0, 1.0, 0.0), 80, 5)
    assert good >= 0.8 and held >= 0.8


@settings(max_examples=50, deadline=None)
@given(
    hits=st.lists(st.booleans(), max_size=80),
    start=st.floats(0.3, 6.0),
    k=st.integers(1, 4),
    step=st.floats(1.05, 1.5),
)
def test_a_ladder_stays_in_its_bounds_and_goes_the_right_way(hits, start, k, step):
    ladder = Ladder(rule=up_down(k, step), size=start)
    for hit in hits:
        after = ladder.after(hit)
        assert 0.3 <= after.size <= 6.0
        assert (after.size <= ladder.size) if hit else (after.size >= ladder.size)
        ladder = after
    assert len(ladder.done) == len(hits)


def test_six_balls_are_needed_for_a_size():
    with pytest.raises(CannotEstimate, match="Not enough balls yet"):
        threshold([(1.0, True)] * 5, 0.7)
    assert threshold([(1.0, True), (0.8, False)] * 5, 0.7).n == 10


# Computed by quadrature in the coaching facts, section 4.4 (R over the larger spread).
FACTS = {
    (1.0, 0.5): 1.1774, (1.0, 0.7): 1.5518, (1.0, 0.85): 1.9479, (0.8, 0.7): 1.398, (0.6, 0.8): 1.467,
    (0.5, 0.5): 0.870, (0.5, 0.7): 1.185, (0.4, 0.9): 1.699, (0.3, 0.95): 1.984,
}  # fmt: skip


@pytest.mark.parametrize(("ratio", "success"), FACTS)
def test_circles_of_unequal_axes_against_the_facts(ratio, success):
    size = circle_size(success, along_m=1.0, across_m=ratio)
    assert size.consistency_m == pytest.approx(FACTS[ratio, success], abs=6e-4)
    assert size.accuracy_m == pytest.approx(size.consistency_m)


SPREADS = [(1.0, 1.0, 0.0, 0.0), (1.4, 0.6, 0.5, 0.0), (0.5, 1.2, -0.8, 0.3), (2.0, 0.7, -1.5, 0.6)]


@pytest.mark.parametrize(("along", "across", "bias_along", "bias_across"), SPREADS)
@pytest.mark.parametrize("success", [0.5, 0.7, 0.85])
def test_circles_against_scipy_quadrature(along, across, bias_along, bias_across, success):
    size = circle_size(
        success, along_m=along, across_m=across, bias_along_m=bias_along, bias_across_m=bias_across
    )
    for radius, by, bx in ((size.accuracy_m, bias_along, bias_across), (size.consistency_m, 0.0, 0.0)):
        # polar coordinates about the spot: the bivariate normal density times r
        def density(angle, r, by=by, bx=bx):
            y, x = (r * math.cos(angle) - by) / along, (r * math.sin(angle) - bx) / across
            return r * math.exp(-0.5 * (x * x + y * y)) / (2 * math.pi * along * across)

        inside, _ = dblquad(density, 0, radius, 0, 2 * math.pi, epsabs=1e-7)
        assert inside == pytest.approx(success, abs=2e-5)


@pytest.mark.parametrize(("along", "across", "bias_along", "bias_across"), SPREADS)
def test_circles_against_simulation(along, across, bias_along, bias_across):
    rng = np.random.default_rng(2)
    y = bias_along + along * rng.standard_normal(200_000)
    x = bias_across + across * rng.standard_normal(200_000)
    size = circle_size(
        0.7, along_m=along, across_m=across, bias_along_m=bias_along, bias_across_m=bias_across
    )
    assert (np.hypot(x, y) < size.accuracy_m).mean() == pytest.approx(0.7, abs=0.005)
    own = np.hypot(x - bias_across, y - bias_along)
    assert (own < size.consistency_m).mean() == pytest.approx(0.7, abs=0.005)


def test_bias_of_one_spread_drops_half_to_a_third():
    # Coaching facts 12.7, Rice distribution (computed): inside 1.1774 sigma with a bias of 1 sigma: 0.3524.
    size = circle_size(0.3524, along_m=1.0, across_m=1.0, bias_along_m=1.0)
    assert size.accuracy_m == pytest.approx(1.1774, abs=2e-4)


def test_stick_prior_is_what_the_page_states():
    place = stick_prior().place(10.0)
    assert place.distance_m == pytest.approx(PRIOR_STICK_M) and place.n == 0
    assert 0.35 < place.low_m < 0.6 and 0.9 < place.high_m < 1.6
    four = stick_prior().place(2.5).distance_m / place.distance_m
    assert four == pytest.approx(4**-PRIOR_POWER)  # the root of carry


def test_stick_learns_with_each_ball_and_narrows():
    rng, model = np.random.default_rng(6), stick_prior()
    widths, errors = [], []
    for n in range(40):
        carry = float(rng.uniform(6, 18))
        place = model.place(12.0)
        widths.append(math.log(place.high_m / place.low_m))
        errors.append(abs(math.log(place.distance_m / (0.55 * 1.2**0.6))))
        assert model.n == n
        model = model.learn(0.55 * (carry / 10) ** 0.6 * math.exp(0.08 * rng.standard_normal()), carry)
    assert widths[-1] < 0.5 * widths[0] and max(errors[20:]) < 0.12 < errors[0]


def test_stick_interval_holds_the_next_ball():
    """Players drawn from the prior: nine in ten of the intervals hold the stick place of the next carry."""
    rng, held, n = np.random.default_rng(9), 0, 400
    for _ in range(n):
        size, power = 0.75 * math.exp(0.25 * rng.standard_normal()), 0.5 + 0.12 * rng.standard_normal()

        def stick(carry, size=size, power=power):
            return size * (carry / 10) ** power * math.exp(0.12 * rng.standard_normal())

        pairs = [(stick(c), c) for c in rng.uniform(6, 16, int(rng.integers(0, 12)))]
        pairs = [(min(max(s, 0.3), 2.5), float(c)) for s, c in pairs]
        carry = float(rng.uniform(6, 16))
        place = stick_model(pairs).place(carry)
        held += place.low_m <= stick(carry) <= place.high_m
    assert 0.86 <= held / n <= 0.97


@pytest.mark.parametrize(("stick_m", "carry_m"), [(0.1, 10), (3.0, 10), (0.7, 0.1), (0.7, 900)])
def test_stick_pairs_that_no_chip_has(stick_m, carry_m):
    with pytest.raises(ParameterError, match="chips carry"):
        stick_prior().learn(stick_m, carry_m)


def test_every_fault_has_a_drill_and_every_drill_of_technique_exists():
    drills = shipped_drills()
    assert len(drills) == 24 and all(drill.caution for drill in drills)
    assert {fault for drill in drills for fault in drill.faults} == set(Fault)
    for names in DRILLS.values():
        for name in names:
            assert find_drill(drills, name).name == name


def test_an_unknown_drill_is_named_with_those_there_are():
    with pytest.raises(ParameterError, match=r"No drill called 'Juggling'; there are Ball between forearms"):
        find_drill(shipped_drills(), "Juggling")
