"""Verdicts: one sentence, its reason, its balls; never alone; overruled and kept."""

import numpy as np
import pytest
from review_sets import FIT, GROUND, PLAYER, TODAY, reviewed, some_balls

from firstbounce.errors import CannotEstimate, ParameterError
from firstbounce.fitting.fit import fit, prior_fit
from firstbounce.players.clubs import Bag
from firstbounce.players.player import player_of_level
from firstbounce.review.questions import Question
from firstbounce.review.usual import known_player, pooled, usual_of
from firstbounce.review.verdict import Call
from firstbounce.technique.by_eye import judge_ticks, read_ticks
from firstbounce.words import Fault, Level, Strike


def test_one_ball_is_not_enough_and_says_how_many_more():
    said = reviewed(some_balls(1)).verdict
    assert said.call is Call.NOT_ENOUGH and said.more_balls == 2


@pytest.mark.parametrize("n", [3, 4, 6])
def test_from_the_third_ball_there_are_counts_and_something_to_try(n):
    seen = reviewed(some_balls(n))
    said = seen.verdict
    assert said.call is Call.NOT_ENOUGH
    assert "landed in the circle" in said.reason and said.to_try.startswith("Next three")
    assert said.certainty == "hunch" and (said.more_balls is None or said.more_balls >= 1)
    assert seen.counts.balls == n


def test_a_spot_that_leaves_every_ball_short_is_a_wrong_plan_and_no_fault_of_the_player():
    said = reviewed(some_balls(12, hole=17.0)).verdict
    assert said.call is Call.CHANGE_PLAN and "longer" in said.sentence and said.n == 12
    assert said.faults == () and said.certainty == "sure"


def test_nothing_is_sure_with_few_balls():
    said = reviewed(some_balls(6, hole=19.0)).verdict
    assert said.call is Call.CHANGE_PLAN and said.certainty == "likely"


def test_a_spot_that_sends_every_ball_to_one_side_is_a_wrong_plan():
    from dataclasses import replace

    balls = [replace(b, finished=b.finished._replace(x_m=b.finished.x_m + 2.5)) for b in some_balls(14)]
    said = reviewed(balls).verdict
    assert said.call is Call.CHANGE_PLAN and "left" in said.sentence


def test_landings_twice_as_wide_are_practised_when_the_usual_spread_is_known():
    earlier = [fit(some_balls(20, seed=s), today=TODAY, ground=GROUND, player=PLAYER) for s in (11, 12, 13)]
    known = known_player(earlier, PLAYER, TODAY)
    said = reviewed(some_balls(20, seed=4, wide=2.2), then=FIT, usual=known).verdict
    assert said.call is Call.PRACTISE_STRIKE and Fault.DISTANCE in said.faults


def test_landings_usually_long_are_practised():
    said = reviewed(some_balls(16, long=1.5, far=15.5, hole=12.5)).verdict
    assert said.call is Call.PRACTISE_STRIKE and "usually long" in said.sentence


def test_no_clean_ball_is_said_plainly_and_nothing_is_lost():
    seen = reviewed(some_balls(5, strike=Strike.HEAVY))
    assert seen.verdict.call is Call.PRACTISE_STRIKE
    assert "none of the 5 balls was struck cleanly" in seen.verdict.sentence
    assert len(seen.split) == 5 and set(seen.faults) == {Fault.HEAVY, Fault.THIN}


def test_nothing_at_all_is_said_plainly():
    with pytest.raises(CannotEstimate, match="no placed balls"):
        reviewed([])


def test_balls_without_a_spot_are_named_when_none_is_left():
    from dataclasses import replace

    with pytest.raises(CannotEstimate, match=r"None of the 2 balls.*no landing spot was set"):
        reviewed([replace(b, aim=None) for b in some_balls(2)])


def test_a_player_without_a_bag_is_said_plainly():
    with pytest.raises(ParameterError, match="bag is empty"):
        Bag(())
    putter = Bag(tuple(club for club in PLAYER.bag.clubs if club.is_putter))
    with pytest.raises(ParameterError, match="no lofted club"):
        prior_fit(player_of_level(Level.BEGINNER, bag=putter), TODAY)


def test_the_coach_may_overrule_and_both_are_kept():
    seen = reviewed(some_balls(12, hole=17.0)).overruled(Call.KEEP, "he was tired")
    shape = seen.to_dict()["verdict"]
    assert shape["call"] == "change the plan"
    assert shape["by_coach"] == "keep plan and strike" and shape["coach_note"] == "he was tired"


def test_ticks_feed_the_verdict_marked_as_coach_judged():
    ticks = judge_ticks(read_ticks("arms together no, recoil no"))
    seen = reviewed(some_balls(5), by_eye=ticks)
    assert Fault.DISCONNECTED in seen.faults
    assert "arms together" in seen.verdict.to_try and "Ball between forearms" in seen.verdict.to_try
    assert {one["judge"] for one in seen.to_dict()["by_eye"]} == {"coach-judged"}
    wrong_plan = reviewed(some_balls(12, hole=17.0), by_eye=ticks).verdict
    assert wrong_plan.call is Call.CHANGE_PLAN and "coach's eye" in wrong_plan.reason


def test_untagged_mishits_are_shown_as_probable_and_never_dropped():
    from dataclasses import replace

    balls = [replace(b, strike=None) for b in some_balls(10)]
    odd = replace(balls[0], id="odd", landed=balls[0].landed._replace(y_m=2.0))
    seen = reviewed([*balls[1:], odd])
    assert seen.probably_mishit == ("odd",) and len(seen.split) == 10


def test_known_player_is_the_usual_one_without_days_and_surer_with_them():
    plain = prior_fit(PLAYER, TODAY)
    assert known_player([], PLAYER, TODAY).verdict == "prior only"
    days = [fit(some_balls(20, seed=s), today=TODAY, ground=GROUND, player=PLAYER) for s in (21, 22)]
    known = known_player(days, PLAYER, TODAY)
    s = reviewed(some_balls(3)).split
    assert max(usual_of(known, s).ln_sd) < max(usual_of(plain, s).ln_sd)
    pw = known.layout.discrepancy.start + known.club_index("PW")
    assert known.covariance[pw, pw] < plain.covariance[pw, pw]
    assert known.theta[:2] == pytest.approx([0.0, 0.0])  # speed and firmness are those of today


def test_days_that_taught_nothing_leave_what_is_usual():
    from dataclasses import replace

    plain = prior_fit(PLAYER, TODAY)
    idle = replace(plain, verdict="fitted")
    known = known_player([idle, idle], PLAYER, TODAY)
    assert known.theta == pytest.approx(plain.theta, abs=1e-6)
    assert known.landing.values == pytest.approx(plain.landing.values)
    assert np.linalg.eigvalsh(known.covariance).min() > -1e-9


def test_pooled_days_are_what_one_fit_of_all_would_be():
    # normal means: prior N(0, 4), two looks of n balls each with variance 1
    prior = (np.zeros(1), np.array([[4.0]]))
    looks = []
    for mean, n in ((1.0, 3), (2.0, 5)):
        precision = 1 / 4 + n
        looks.append((np.array([n * mean / precision]), np.array([[1 / precision]])))
    found, cov = pooled(looks, prior)
    assert cov[0, 0] == pytest.approx(1 / (1 / 4 + 8))
    assert found[0] == pytest.approx((3 * 1.0 + 5 * 2.0) / (1 / 4 + 8))


def test_to_dict_is_json():
    import json

    shape = reviewed(some_balls(9)).to_dict()
    json.dumps(shape, allow_nan=False)
    assert len(shape["each"]) == 9 and {q["question"] for q in shape["questions"]} == set(Question)
