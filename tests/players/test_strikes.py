"""Delivery, spread and mishits: usual values, shares, and what reaches the shot."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from firstbounce.errors import ParameterError
from firstbounce.players.clubs import usual_club
from firstbounce.players.delivery import usual_attack_deg, usual_lean_deg
from firstbounce.players.mishits import (
    EFFECTS,
    STRIKES,
    Mishits,
    draw_noise,
    draw_strikes,
    spread_noise,
    strikes_of,
)
from firstbounce.players.player import Hand, player_of_level
from firstbounce.players.spread import SPREAD_OF_LEVEL, Spread
from firstbounce.shot.launch import launch
from firstbounce.words import Estimate, Level, LieKind, Source, Strike

levels = st.sampled_from(list(Level))
lies = st.sampled_from(list(LieKind))


def test_usual_lean_and_attack_by_loft():
    # Common practice, no source: 6,6,6,6,5,4,3 degrees for chips; sand and lob wedge pitches 4 and 2.
    assert usual_lean_deg([34, 38, 42, 46, 50, 56, 60], 6.0) == pytest.approx([6, 6, 6, 6, 5, 4, 3])
    assert usual_lean_deg([56, 60], [17.3, 13.2]) == pytest.approx([4, 2])
    assert usual_attack_deg([5.0, 20.0]) == pytest.approx([-3, -4])


@settings(deadline=None, max_examples=40)
@given(loft=st.floats(20, 64), carry=st.floats(1, 44))
def test_lean_is_smooth_in_loft_and_carry(loft, carry):
    here = usual_lean_deg(loft, carry)
    assert abs(usual_lean_deg(loft + 0.1, carry) - here) < 0.06
    assert abs(usual_lean_deg(loft, carry + 0.1) - here) < 0.06


def test_delivered_loft_takes_the_players_own_lean():
    player = player_of_level(Level.SINGLE_FIGURE)
    club = usual_club("SW")
    assert player.delivered_loft_deg(club, 6.0) == pytest.approx(52)
    more = Estimate(value=3.0, sd=1.0, source=Source.FITTED, n=12)
    leaning = player.__class__(**{f: getattr(player, f) for f in player.__slots__} | {"extra_lean_deg": more})
    assert leaning.delivered_loft_deg(club, 6.0) == pytest.approx(49)


def test_spread_of_levels_at_20_m():
    # Judgement of the trade, worked out at 20 m carry: 1.1, 1.7, 2.3, 3.0, 3.8 m.
    spreads = [SPREAD_OF_LEVEL[level].along_m(20.0) for level in Level]
    assert spreads == pytest.approx([1.1, 1.7, 2.3, 3.0, 3.8], abs=0.06)
    ratios = [SPREAD_OF_LEVEL[level].along_m(20.0) / SPREAD_OF_LEVEL[level].across_m(20.0) for level in Level]
    assert all(1.5 < ratio < 1.8 for ratio in ratios)


def test_light_rough_and_sand_widen_the_spread():
    # Cochran & Stobbs (1968), read in a summary: light greenside rough +50-60 %, sand +100 %.
    spread = SPREAD_OF_LEVEL[Level.SCRATCH]
    fairway = spread.along_m(15.0)
    assert 1.5 <= spread.along_m(15.0, LieKind.LIGHT_ROUGH) / fairway <= 1.6
    assert spread.along_m(15.0, LieKind.SAND_EDGE) / fairway == pytest.approx(2.0)


@settings(deadline=None, max_examples=40)
@given(level=levels, lie=lies)
def test_worse_levels_are_never_tighter(level, lie):
    later = list(Level)[list(Level).index(level) :]
    players = [player_of_level(each) for each in later]
    along = [player.spread.along_m(15.0, lie) for player in players]
    shares = [player.mishits.share_from(lie) for player in players]
    assert along == sorted(along)
    assert shares == sorted(shares)
    assert max(shares) <= 0.7


def test_drawn_strikes_follow_their_laws():
    rng = np.random.default_rng(7)
    player = player_of_level(Level.TEN_TO_EIGHTEEN)
    strikes = draw_strikes(rng, 200_000, spread=player.spread, mishits=player.mishits, carry_m=12.0)
    clean = strikes.kind == 0
    assert 1 - clean.mean() == pytest.approx(player.mishits.share, abs=0.004)
    along = strikes.along_m[clean] / player.spread.along_m(12.0)
    assert stats.kstest(along[:5000], "norm").pvalue > 0.001
    direction = strikes.direction[clean] / player.spread.direction()
    assert stats.kstest(direction[:5000], "norm").pvalue > 0.001
    counts = np.bincount(strikes.kind, minlength=len(STRIKES))[1:]
    assert counts / counts.sum() == pytest.approx(player.mishits.mix, abs=0.01)
    assert np.all(strikes.speed_factor[clean] == 1)
    assert np.all(strikes.loft_factor[clean] == 1)


@pytest.mark.parametrize("strike", list(Strike))
def test_each_kind_stays_within_its_stated_effect(strike):
    rng = np.random.default_rng(3)
    mix = (
        tuple(1.0 if kind is strike else 0.0 for kind in STRIKES[1:]) if strike is not Strike.CLEAN else None
    )
    mishits = Mishits(share=0.7, mix=mix) if mix else Mishits(share=0.0)
    still = Spread(floor_m=0.0, share=0.0, direction_deg=0.0)
    drawn = draw_strikes(rng, 4000, spread=still, mishits=mishits, carry_m=10.0)
    of_kind = STRIKES.index(strike) == drawn.kind
    effect = EFFECTS[strike]
    for values, (low, high) in (
        (drawn.speed_factor, effect.speed),
        (drawn.loft_factor, effect.loft),
        (np.degrees(drawn.direction), effect.direction_deg),
    ):
        assert np.all((values[of_kind] >= low - 1e-9) & (values[of_kind] <= high + 1e-9))


def test_heavy_carries_30_to_70_percent_by_speed_squared():
    low, high = EFFECTS[Strike.HEAVY].speed
    assert (low**2, high**2) == pytest.approx((0.3, 0.7), abs=0.01)


def test_a_left_hander_shanks_to_the_left():
    noise = draw_noise(np.random.default_rng(5), 5000)
    right = player_of_level(Level.BEGINNER)
    left = player_of_level(Level.BEGINNER, hand=Hand.LEFT)
    shank = STRIKES.index(Strike.SHANK)
    a, b = right.strikes(noise, 10.0), left.strikes(noise, 10.0)
    assert np.median(a.direction[a.kind == shank]) > 0.4
    assert np.median(b.direction[b.kind == shank]) < -0.4


def test_same_noise_same_strikes_and_noise_is_not_changed():
    noise = draw_noise(np.random.default_rng(5), 500)
    before = [column.copy() for column in noise]
    player = player_of_level(Level.SINGLE_FIGURE)
    first, second = player.strikes(noise, 10.0), player.strikes(noise, 10.0)
    for one, other in zip(first, second, strict=True):
        np.testing.assert_array_equal(one, other)
    for column, old in zip(noise, before, strict=True):
        np.testing.assert_array_equal(column, old)


def test_noise_from_the_unit_cube_has_the_same_law():
    cube = np.random.default_rng(2).random((20_000, 7))
    noise = spread_noise(cube)
    assert noise.along.std() == pytest.approx(1, abs=0.02)
    np.testing.assert_array_equal(noise.side, cube[:, 6])
    with pytest.raises(ParameterError, match="shape"):
        spread_noise(cube[:, :5])


def test_carry_may_differ_from_strike_to_strike():
    player = player_of_level(Level.SCRATCH)
    noise = draw_noise(np.random.default_rng(5), 3)
    mixed = strikes_of(noise, spread=player.spread, mishits=player.mishits, carry_m=[5.0, 10.0, 20.0])
    one = strikes_of(noise, spread=player.spread, mishits=player.mishits, carry_m=10.0)
    assert mixed.along_m[1] == one.along_m[1]


def test_impossible_spreads_and_mishits_are_refused():
    with pytest.raises(ParameterError, match="floor 0 to 5 m"):
        Spread(floor_m=-1, share=0.1, direction_deg=3)
    with pytest.raises(ParameterError, match=r"0 to 0\.9"):
        Mishits(share=1.2)
    with pytest.raises(ParameterError, match="add up to 1"):
        Mishits(share=0.1, mix=(0.5, 0.1, 0.1, 0.1, 0.1))


def carry_without_air(speed_factor, loft_factor, friction_factor):
    """Carry of a sand wedge chip [m] and launch angle [deg] with these effects; 8 m/s of club speed."""
    ball = launch(
        8.0 * speed_factor, np.radians(52.0) * loft_factor, np.radians(-3.0), friction=0.4 * friction_factor
    )
    return 2 * ball.velocity[:, 1] * ball.velocity[:, 2] / 9.81, np.degrees(ball.launch_angle)


def test_what_heavy_and_thin_do_to_a_sand_wedge_chip():
    player, noise = player_of_level(Level.BEGINNER), draw_noise(np.random.default_rng(9), 20_000)
    strikes = player.strikes(noise, 8.0)
    carry, angle = carry_without_air(strikes.speed_factor, strikes.loft_factor, strikes.friction_factor)
    clean = strikes.kind == STRIKES.index(Strike.CLEAN)
    share = carry / carry[clean].mean()
    heavy, thin = (strikes.kind == STRIKES.index(kind) for kind in (Strike.HEAVY, Strike.THIN))
    assert 0.2 < share[heavy].min() < share[heavy].max() < 0.85
    assert np.median(share[heavy]) == pytest.approx(0.5, abs=0.08)
    assert 1.2 < np.median(share[thin]) < 1.7
    assert np.median(angle[thin]) < 0.7 * np.median(angle[clean])
