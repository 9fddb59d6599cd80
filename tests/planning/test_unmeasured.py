"""Nothing measured: it still answers, in paces, and says what would be worth knowing."""

import json
import re

import pytest
from plan_places import QUICK

from firstbounce.errors import CannotPlan
from firstbounce.ground.slopes import SlopeWord
from firstbounce.planning.asked import Unmeasured
from firstbounce.planning.rough_words import WORTH_A_WORD, answer_text, reading_text, test_text
from firstbounce.planning.unmeasured import plan_unmeasured
from firstbounce.players.clubs import Bag, Club, usual_bag
from firstbounce.words import Level, Lie, LieKind, TurfKind

test_text.__test__ = False
ROUGH = Lie(kind=LieKind.LIGHT_ROUGH)
BAG = usual_bag(("9i", "PW", "SW", "putter"))
NEVER = re.compile(r"\b(fit|fitted|prior|model|bias|posterior)\b", re.I)


def asked(**changes):
    usual = {
        "level": Level.TEN_TO_EIGHTEEN,
        "to_edge_m": 5.0,
        "edge_to_hole_m": 9.0,
        "lie": ROUGH,
        "bag": BAG,
    }
    return Unmeasured(**(usual | changes))


@pytest.fixture(scope="module")
def answered():
    return plan_unmeasured(asked(), effort=QUICK)


def test_it_answers_with_a_club_and_paces(answered):
    assert re.match(r"Take the .+, land it .+ pace", answered.answer)
    first = answered.choices[0]
    assert first.carry_paces[0] < first.carry_paces[1]
    assert first.run_paces[0] < first.run_paces[1]
    assert answered.answer.endswith(".")


def test_a_bad_day_costs_more_than_the_usual_one(answered):
    assert all(c.bad_day_strokes > c.choice.strokes.value for c in answered.choices)


def test_readings_come_most_worthwhile_first(answered):
    worth = [reading.worth_strokes for reading in answered.readings]
    assert worth == sorted(worth, reverse=True)
    assert {reading.name for reading in answered.readings} == {"green speed", "firmness", "slope", "lofts"}
    assert min(worth) >= 0


def test_lofts_that_were_read_are_not_asked_for_again():
    bag = Bag(tuple(Club(name=c.name, loft_deg=c.loft_deg, is_putter=c.is_putter) for c in BAG.clubs))
    made = plan_unmeasured(asked(bag=bag), effort=QUICK)
    assert "lofts" not in {reading.name for reading in made.readings}


def test_three_balls_teach_about_the_run(answered):
    test = answered.test_balls
    assert test.balls == 3
    before = test.run_before_m.high / test.run_before_m.low
    after = test.run_after_m.high / test.run_after_m.low
    assert 1 < after < before


def test_downhill_is_landed_shorter_than_uphill():
    carry = {
        slope: plan_unmeasured(
            asked(slope=slope, bag=usual_bag(("PW", "putter"))), effort=QUICK
        ).plan.first.carry_m.value
        for slope in (SlopeWord.UPHILL, SlopeWord.LEVEL, SlopeWord.DOWNHILL)
    }
    assert carry[SlopeWord.UPHILL] > carry[SlopeWord.LEVEL] > carry[SlopeWord.DOWNHILL]


def test_the_same_question_gets_the_same_answer(answered):
    assert plan_unmeasured(asked(), effort=QUICK).to_dict() == answered.to_dict()


def test_no_word_of_the_workshop_is_said(answered):
    for text in (answered.answer, answered.reading_advice, answered.test_advice):
        assert text
        assert not NEVER.search(text)
    for reading in answered.readings:
        assert reading.how.endswith(".")


def test_json_is_plain(answered):
    shape = json.loads(json.dumps(answered.to_dict(), allow_nan=False))
    assert shape["pace_m"] == 0.9
    assert {"answer", "choices", "readings", "reading_advice", "test_balls", "test_advice"} <= set(shape)


def test_no_reading_is_called_for_when_none_would_matter(answered):
    small = [reading for reading in answered.readings if reading.worth_strokes < WORTH_A_WORD]
    assert reading_text(small[:1]).startswith("No single reading")
    assert reading_text([]).startswith("No single reading")


def test_equal_choices_are_offered_together(answered):
    from dataclasses import replace

    first, second = answered.choices[:2]
    twin = replace(second, choice=replace(second.choice, equal=True))
    assert "would do as well" in answer_text("Take it", [first, twin], 0.9)


def test_without_a_lofted_ball_to_test_it_says_putt():
    assert test_text(None, 0.9).startswith("Roll three putts")


@pytest.mark.parametrize("changes", [{"to_edge_m": -1.0}, {"edge_to_hole_m": 0.1}, {"to_edge_m": 80.0}])
def test_distances_that_are_no_chip_are_refused(changes):
    with pytest.raises(CannotPlan, match="From ball to edge"):
        asked(**changes)


def test_a_pace_that_nobody_takes_is_refused():
    with pytest.raises(CannotPlan, match="A pace is"):
        plan_unmeasured(asked(), pace_m=3.0)


@pytest.mark.parametrize(
    ("lie", "turf"), [(LieKind.LIGHT_ROUGH, TurfKind.LIGHT_ROUGH), (LieKind.TIGHT, TurfKind.FAIRWAY)]
)
def test_the_ground_is_what_the_lie_says(lie, turf):
    ground = asked(lie=Lie(kind=lie)).ground
    assert ground.turf_at(0.0, 0.0) is turf
    assert ground.turf_at(0.0, 10.0) is TurfKind.GREEN
