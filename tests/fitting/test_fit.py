"""What a fit does with balls: learns, stays honest, refuses."""

from dataclasses import replace

import numpy as np
import pytest

from firstbounce.errors import Cancelled, CannotEstimate, ParameterError
from firstbounce.fitting.fit import fit, prior_fit
from firstbounce.fitting.predict import mean_run
from firstbounce.fitting.serial import fit_from_dict, fit_to_dict
from firstbounce.words import Circle, Lie, LieKind, Point, Strike, Tally, TallyFinish, TallyLanding

START, HOLE = Point(0.0, 0.0), Point(0.0, 18.0)
TWO = {"7i": 6, "SW": 6}


def fitted(green, balls, tallies=(), **changes):
    return fit(
        balls, tallies, **({"today": green.today, "ground": green.ground, "player": green.player} | changes)
    )


def width(known):
    return known.high - known.low


def test_twelve_balls_find_the_run_of_every_club(green, rng):
    truth = green.truth(ln_firmness=0.3, lean_deg=2.5)
    answer = fitted(green, green.balls(rng, truth, TWO))
    assert answer.verdict == "fitted" and answer.n_by_club == TWO
    clubs = ["7i", "9i", "PW", "SW"]
    seen, true, usual = (
        mean_run(f, clubs, 6.0) for f in (answer, truth, prior_fit(green.player, green.today))
    )
    assert ((seen.mean_90[:, 0] < true.run) & (true.run < seen.mean_90[:, 1])).sum() >= 3
    assert np.abs(np.log(seen.run / true.run)).max() < 0.5 * np.abs(np.log(usual.run / true.run)).max()


def test_clubs_that_were_not_hit_stay_less_certain(green, rng):
    answer = fitted(green, green.balls(rng, green.truth(), TWO))
    seen = mean_run(answer, ["7i", "9i", "PW", "SW"], 6.0)
    assert max(seen.ln_sd[0], seen.ln_sd[3]) < min(seen.ln_sd[1], seen.ln_sd[2])
    assert (
        seen.ln_sd < mean_run(prior_fit(green.player, green.today), ["7i", "9i", "PW", "SW"], 6.0).ln_sd
    ).all()


def test_intervals_nest(green, rng):
    seen = mean_run(fitted(green, green.balls(rng, green.truth(), TWO)), ["7i", "PW"], 6.0)
    assert (seen.mean_90[:, 0] < seen.mean_50[:, 0]).all() and (seen.mean_50[:, 1] < seen.mean_90[:, 1]).all()
    assert (seen.ball_90[:, 0] < seen.mean_90[:, 0]).all() and (seen.mean_90[:, 1] < seen.ball_90[:, 1]).all()


@pytest.mark.parametrize("seed", range(4))
def test_shuffled_finishes_do_not_fit(green, seed):
    rng = np.random.default_rng(seed)
    balls = green.balls(rng, green.truth(), {"7i": 7, "SW": 7})
    ends = [b.finished for b in balls]
    order = rng.permutation(len(balls))
    shuffled = [replace(b, finished=ends[k]) for b, k in zip(balls, order, strict=True)]
    answer = fitted(green, shuffled)
    assert answer.verdict == "balls disagree" and answer.remarks
    assert np.array_equal(answer.theta, prior_fit(green.player, green.today).theta)


def test_wrong_unit_is_noticed(green, rng):
    balls = green.balls(rng, green.truth(), TWO)
    feet = [
        replace(b, finished=Point(b.landed[0], b.landed[1] + 3.28 * (b.finished[1] - b.landed[1])))
        for b in balls
    ]
    assert fitted(green, feet).verdict == "balls disagree"


def test_without_balls_it_refuses(green):
    with pytest.raises(CannotEstimate, match="no balls"):
        fitted(green, [])


def test_two_balls_leave_the_day_as_read(green, rng):
    answer = fitted(green, green.balls(rng, green.truth(ln_firmness=0.4), {"7i": 1, "SW": 1}))
    assert answer.verdict == "prior only" and answer.remarks
    assert np.array_equal(answer.theta, prior_fit(green.player, green.today).theta)


def test_an_unflagged_thin_ball_is_named_not_dropped(green, rng):
    balls = green.balls(rng, green.truth(), TWO)
    odd = balls[8]
    thin = replace(
        odd, finished=Point(odd.landed[0], odd.landed[1] + 4.0 * (odd.finished[1] - odd.landed[1]))
    )
    answer = fitted(green, [*balls[:8], thin, *balls[9:]])
    assert odd.id in [one.id for one in answer.suspects]
    assert answer.n_balls == 12
    clean = fitted(green, balls)
    assert mean_run(answer, "SW", 6.0).run == pytest.approx(mean_run(clean, "SW", 6.0).run, rel=0.10)


def test_tagged_mishits_raise_the_share_and_not_the_spread(green, rng):
    balls = green.balls(rng, green.truth(), TWO)
    short = [
        replace(b, landed=Point(b.landed[0], 0.45 * b.aim[1]), strike=Strike.HEAVY) if i % 4 == 0 else b
        for i, b in enumerate(balls)
    ]
    with_tags, without = fitted(green, short), fitted(green, balls)
    assert with_tags.mishit_share.value > without.mishit_share.value + 0.04
    assert with_tags.spread_floor_m.value == pytest.approx(without.spread_floor_m.value, rel=0.35)


def test_a_wet_ball_never_touches_the_dry_day(green, rng):
    dry = green.balls(rng, green.truth(), TWO)
    wet = [
        replace(b, id=f"wet-{b.id}", lie=Lie(wet=True))
        for b in green.balls(rng, green.truth(lean_deg=6.0), TWO)
    ]
    alone, mixed = fitted(green, dry), fitted(green, [*dry, *wet])
    assert np.array_equal(alone.theta, mixed.theta)
    assert len(mixed.set_aside) == 12 and "wet" in mixed.set_aside[0].reason
    with pytest.raises(ParameterError, match="dry day"):
        mixed.draws(rng, 3, Lie(wet=True))
    with pytest.raises(CannotEstimate, match="wet lie"):
        fitted(green, wet)


def test_a_holed_ball_is_censored_not_finished_at_the_hole(green, rng):
    balls = green.balls(rng, green.truth(), {"7i": 3, "SW": 6})
    end = balls[0].finished
    hole = Point(end[0], end[1] - 1.6)  # it would have run 1.6 m past
    holed = replace(balls[0], hole=hole, finished=None, holed=True)
    at_hole = replace(balls[0], hole=hole, finished=hole)
    seen, censored, exact = (
        mean_run(fitted(green, [first, *balls[1:]]), "7i", 6.0).run[0] for first in (balls[0], holed, at_hole)
    )
    assert abs(censored - seen) < abs(exact - seen)


def test_finish_without_landing_still_says_something(green, rng):
    balls = [replace(b, landed=None) for b in green.balls(rng, green.truth(ln_firmness=0.3), TWO)]
    answer = fitted(green, balls)
    assert answer.verdict == "fitted" and answer.n_balls == 12 and answer.landing.n_landed == 0
    placed = fitted(green, green.balls(rng, green.truth(ln_firmness=0.3), TWO))
    assert mean_run(answer, "7i", 6.0).ln_sd[0] > mean_run(placed, "7i", 6.0).ln_sd[0]


def test_hang_time_separates_lean_from_ground(green, rng):
    truth = green.truth(lean_deg=4.0)
    balls = green.balls(rng, truth, {"7i": 8, "SW": 8})
    hang = [float(mean_run(truth, b.club, b.landed[1]).hang_s[0] + rng.normal(0, 0.04)) for b in balls]
    timed = [replace(b, hang_time_s=t) for b, t in zip(balls, hang, strict=True)]
    assert width(fitted(green, timed).lean_deg) < 0.95 * width(fitted(green, balls).lean_deg)


def tallies(balls):
    """What a coach would have tallied of these balls: circle of 1 m, the hole where the day was read."""
    out = []
    for b in balls:
        along, across = b.landed[1] - b.aim[1], b.landed[0] - b.aim[0]
        landing = TallyLanding.IN_CIRCLE
        if np.hypot(along, across) > 1:
            landing = TallyLanding.LONG if along > 0 else TallyLanding.SHORT
        past, far = b.finished[1] - HOLE[1], np.hypot(b.finished[1] - HOLE[1], b.finished[0] - HOLE[0])
        finish = TallyFinish.FURTHER_PAST if past > 0 else TallyFinish.FURTHER_SHORT
        finish = TallyFinish.WITHIN_TWO_PACES if far < 1.6 else finish
        out.append(
            Tally(
                id=b.id,
                club=b.club,
                lie=b.lie,
                start=START,
                hole=HOLE,
                circle=Circle(centre=b.aim, radius_m=1.0),
                landing=landing,
                finish=TallyFinish.GIVEN if far < 0.45 else finish,
            )
        )
    return out


def test_tallies_know_less_than_placed_balls_and_more_than_nothing(green, rng):
    balls = green.balls(rng, green.truth(ln_firmness=0.2), TWO)
    placed, tallied = fitted(green, balls), fitted(green, [], tallies(balls))
    usual = prior_fit(green.player, green.today)
    assert tallied.verdict == "fitted" and tallied.n_balls == 12
    for club in ("7i", "SW"):
        sd = [mean_run(f, club, 6.0).ln_sd[0] for f in (placed, tallied, usual)]
        assert sd[0] < sd[1] < sd[2]
    assert width(tallied.spread_floor_m) > 0.9 * width(placed.spread_floor_m)


def test_rough_has_its_own_discrepancy(green, rng):
    rough = Lie(kind=LieKind.LIGHT_ROUGH)
    answer = fitted(green, green.balls(rng, green.truth(), TWO))
    grass, other = answer.draws(rng, 2000), answer.draws(rng, 2000, rough)
    assert other.ln_run["7i"].std() > grass.ln_run["7i"].std()


def test_draws_follow_the_fit_and_the_generator(green):
    answer = fitted(green, green.balls(np.random.default_rng(1), green.truth(), TWO))
    one, two = (answer.draws(np.random.default_rng(5), 4000) for _ in range(2))
    assert np.array_equal(one.firmness, two.firmness) and len(one) == 4000
    low, high = np.quantile(one.firmness, (0.05, 0.95))
    assert low == pytest.approx(answer.firmness.low, rel=0.05)
    assert high == pytest.approx(answer.firmness.high, rel=0.05)
    assert set(one.ln_run) == {club.name for club in green.player.bag.lofted}
    assert one.ln_run_at("7i", 7.0) == pytest.approx(one.ln_run["7i"])
    assert (one.green_deceleration > 0).all() and ((one.mishit_share > 0) & (one.mishit_share < 1)).all()


def test_the_order_of_balls_does_not_matter(green, rng):
    balls = green.balls(rng, green.truth(), TWO)
    assert fitted(green, balls).theta == pytest.approx(fitted(green, balls[::-1]).theta, abs=1e-6)


def test_a_fit_survives_being_stored(green, rng):
    answer = fitted(green, green.balls(rng, green.truth(), TWO))
    again = fit_from_dict(fit_to_dict(answer), player=green.player, today=green.today)
    assert fit_to_dict(again) == fit_to_dict(answer)
    assert mean_run(again, "PW", 6.0).run == pytest.approx(mean_run(answer, "PW", 6.0).run)
    with pytest.raises(ParameterError, match="fit again"):
        fit_from_dict(fit_to_dict(answer) | {"model": "older"}, player=green.player, today=green.today)


def test_a_fit_can_be_stopped(green, rng):
    with pytest.raises(Cancelled):
        fitted(green, green.balls(rng, green.truth(), TWO), cancelled=lambda: True)


def test_unknown_club_and_putts(green, rng):
    balls = green.balls(rng, green.truth(), TWO)
    with pytest.raises(ParameterError, match="4i"):
        fitted(green, [replace(balls[0], club="4i"), *balls[1:]])
