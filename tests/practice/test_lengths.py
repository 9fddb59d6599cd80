"""Lengths as they are laid: paces, clubs, shoes, hands, fingers; sums with names."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstbounce.errors import ParameterError
from firstbounce.practice.lengths import Yardsticks, fill, length_of, names_in
from firstbounce.units import LengthUnit

USUAL = Yardsticks()


@pytest.mark.parametrize(
    ("length_m", "words"),
    [
        (10.0, "11 paces (9.9 m)"),
        (4.1, "4½ paces (4.0 m)"),
        (1.31, "1 club and 4 hands (1.3 m)"),
        (1.2, "1 club and 1 shoe (1.2 m)"),
        (0.92, "1 club (0.9 m)"),
        (0.6, "2 shoes (0.6 m)"),
        (0.21, "2 hands (0.2 m)"),
        (0.05, "2 fingers (4 cm)"),
    ],
)
def test_lengths_in_words(length_m, words):
    assert USUAL.laid(length_m).words == words


def test_yards_and_feet():
    yards = Yardsticks(unit=LengthUnit.YARDS)
    assert (
        yards.laid(9.0).said == "9.8 yd"
        and yards.laid(0.9).said == "3.0 ft"
        and yards.laid(0.1).said == "4 in"
    )


@given(length_m=st.floats(0.02, 40), roped=st.booleans())
def test_what_is_laid_is_near_what_was_wanted(length_m, roped):
    laid = USUAL.laid(length_m, roped=roped)
    assert abs(laid.length_m - length_m) <= (0.226 if "pace" in laid.steps else 0.066)
    assert USUAL.laid(laid.length_m, roped=roped).steps == laid.steps


@pytest.mark.parametrize(
    ("expression", "length_m"),
    [
        ("carry", 8),
        ("-carry", -8),
        ("0.5 carry", 4),
        ("carry - 2 step", 4),
        ("shoe + hand", 0.4),
        ("2.5", 2.5),
        (3, 3),
    ],
)
def test_sums_of_lengths(expression, length_m):
    assert length_of(expression, {"carry": 8, "step": 2} | USUAL.body()) == pytest.approx(length_m)


@pytest.mark.parametrize(
    "expression", ["", " ", "carry step", "carry +", "9 * carry", "elbow", "carry - - 2", "2 2"]
)
def test_other_sums_are_refused(expression):
    with pytest.raises(ParameterError, match="is not a length"):
        length_of(expression, {"carry": 8.0, "step": 2.0})


def test_braces_are_filled():
    text = "Radius {circle}, {carry} away"
    lengths = {"circle": 1.3, "carry": 9.0}
    assert fill(text, lengths, USUAL) == "Radius 1 club and 4 hands (1.3 m), 10 paces (9.0 m) away"
    assert fill(text, lengths, USUAL, short=True) == "Radius 1 club and 4 hands, 10 paces away"
    assert names_in(text) == ["circle", "carry"]


@pytest.mark.parametrize("wrong", [{"pace_m": 3}, {"shoe_m": 0.05}, {"club_m": 2}, {"hand_m": 0.3}])
def test_bodies_have_bounds(wrong):
    with pytest.raises(ParameterError, match="must be"):
        Yardsticks(**wrong)


@pytest.mark.parametrize("length_m", [-1.0, float("nan"), float("inf")])
def test_no_length_below_zero(length_m):
    with pytest.raises(ParameterError, match="0 m or more"):
        USUAL.laid(length_m)
