"""Plain coach words: what is said, and what never is."""

import re
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstbounce.planning.result import Misses
from firstbounce.planning.sentences import (
    Parts,
    advice_text,
    cause,
    certainty_of,
    club_text,
    landing_text,
    lead,
    length_text,
    paces_range_text,
    paces_text,
    reason_text,
    warning_text,
)
from firstbounce.units import LengthUnit

M, YD = LengthUnit.METRES, LengthUnit.YARDS
IN_METRES = partial(length_text, unit=M)
NEVER = re.compile(r"\b(fit|fitted|prior|model|bias|posterior|estimate)\b", re.I)


def misses(short=0.0, long=0.0, left=0.0, right=0.0):
    return Misses(short=short, long=long, left=left, right=right, mishit=0.5)


@pytest.mark.parametrize(
    ("length", "unit", "text"),
    [
        (2.26, M, "2.5 m"),
        (7.4, M, "7 m"),
        (0.9144, YD, "1 yard"),
        (3.2, YD, "3.5 yards"),
        (9.144, YD, "10 yards"),
    ],
)
def test_lengths_are_rounded_to_what_a_person_can_pace(length, unit, text):
    assert length_text(length, unit) == text


@pytest.mark.parametrize(
    ("paces", "text"), [(0.3, "half a pace"), (1.1, "1 pace"), (2.4, "2.5 paces"), (6.7, "7 paces")]
)
def test_paces_are_halves_when_few(paces, text):
    assert paces_text(0.9 * paces, 0.9) == text


def test_a_range_of_paces_reaches_outward():
    assert paces_range_text(2.0, 4.6, 0.9) == "2 to 6 paces"
    assert paces_range_text(0.1, 0.2, 0.9) == "0 to 1 paces"


@pytest.mark.parametrize(
    ("club", "text"), [("9i", "9-iron"), ("SW", "sand wedge"), ("putter", "putter"), ("54", "54")]
)
def test_clubs_are_said_as_a_coach_says_them(club, text):
    assert club_text(club) == text


@pytest.mark.parametrize(
    ("carry", "edge", "text"),
    [
        (5.0, 3.0, "2 m onto the green"),
        (2.0, 3.0, "1 m short of the green"),
        (3.1, 3.0, "on the edge of the green"),
        (4.0, None, "4 m away"),
        (4.0, 0.0, "4 m away"),
    ],
)
def test_the_spot_is_told_from_the_edge_of_the_green(carry, edge, text):
    assert landing_text(carry, edge, IN_METRES) == text


def test_the_reason_names_the_largest_part_of_the_difference():
    first = Parts(0.10, 0.05, 2.3, 1.5)
    assert "heavy or thin" in cause(first, Parts(0.30, 0.06, 2.3, 1.5), "LW", False)
    assert "fewer balls miss the green than with the 7-iron" in cause(
        first, Parts(0.1, 0.3, 2.3, 1.5), "7i", False
    )
    assert (
        cause(first, Parts(0.1, 0.05, 2.5, 2.0), "PW", False)
        == "it leaves shorter putts than the pitching wedge"
    )
    assert "easier putts than a putt" in cause(first, Parts(0.1, 0.05, 2.5, 1.5), "putter", True)


def test_equal_choices_are_said_to_be_equal():
    text = reason_text("Take the 9-iron", ["PW", "putter"], "never used")
    assert text == (
        "Take the 9-iron; the pitching wedge and the putter are just as good here,"
        " so take the one you trust most."
    )


def test_one_side_is_preferred_only_when_it_matters():
    assert advice_text(misses(short=0.3, long=0.1)) == "Miss long rather than short."
    assert advice_text(misses(short=0.12, long=0.1)) == ""
    assert (
        advice_text(misses(short=0.1, long=0.3, left=0.1, right=0.4))
        == "Miss short rather than long and left rather than right."
    )


def test_certainty_has_three_words():
    assert [certainty_of(p) for p in (0.5, 0.8, 0.99)] == ["hunch", "likely", "sure"]


@given(
    carry=st.floats(0.5, 40), edge=st.floats(0, 20), run=st.floats(0, 30), unit=st.sampled_from(LengthUnit)
)
def test_no_word_of_the_workshop_reaches_a_sentence(carry, edge, run, unit):
    say = partial(length_text, unit=unit)
    head = lead("PW", False, landing_text(carry, edge, say), run, say)
    why = cause(Parts(0.1, 0.1, 2.0, 1.0), Parts(0.2, 0.1, 2.0, 1.0), "SW", False)
    for text in (reason_text(head, [], why), reason_text(head, ["SW"], ""), warning_text(0.31, head)):
        assert not NEVER.search(text)
        assert text.endswith(".")
        assert "\n" not in text
