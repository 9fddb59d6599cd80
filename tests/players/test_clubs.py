"""The bag: names as people write them, lofts, refusals."""

import pytest

from firstbounce.errors import ParameterError
from firstbounce.players.clubs import Bag, Club, tidy_name, usual_bag, usual_club
from firstbounce.words import Source


@pytest.mark.parametrize(
    ("written", "short"),
    [
        ("7i", "7i"),
        ("7-iron", "7i"),
        ("Seven Iron", "7i"),
        ("i8", "8i"),
        ("pitching wedge", "PW"),
        ("s", "SW"),
        ("Gap Wedge", "GW"),
        ("lob wedge", "LW"),
        ("Putter", "putter"),
        ("my old wedge", "my old wedge"),
    ],
)
def test_names_are_understood_as_the_trade_writes_them(written, short):
    assert tidy_name(written) == short


def test_usual_lofts_are_the_middle_of_the_road_set():
    # Common practice, no source: facts of the trade set, 34 to 60 degrees.
    lofts = [usual_club(name).loft_deg for name in ("7i", "8i", "9i", "PW", "GW", "SW", "LW")]
    assert lofts == [34, 38, 42, 46, 50, 56, 60]


def test_a_usual_loft_is_less_sure_than_a_measured_one():
    usual, measured = usual_club("SW"), Club(name="SW", loft_deg=54)
    assert (usual.loft_sd_deg, usual.source) == (2.0, Source.PRIOR)
    assert measured.loft_sd_deg < usual.loft_sd_deg


def test_lookup_by_name_and_by_loft():
    bag = usual_bag()
    assert bag.club("sand wedge").name == "SW"
    assert bag.club("56").name == "SW"
    assert bag.club("60 deg").name == "LW"
    assert "9 iron" in bag
    assert "driver" not in bag
    assert [club.name for club in bag.lofted] == ["7i", "8i", "9i", "PW", "GW", "SW", "LW"]


def test_unknown_club_says_what_the_bag_holds():
    with pytest.raises(ParameterError, match=r"No club called 'driver' in the bag; it holds 7i, 8i"):
        usual_bag().club("driver")


def test_impossible_clubs_and_bags_are_refused():
    with pytest.raises(ParameterError, match="loft of 90 degrees"):
        Club(name="SW", loft_deg=90)
    with pytest.raises(ParameterError, match="two clubs called SW"):
        Bag((usual_club("SW"), Club(name="sand wedge", loft_deg=54)))
    with pytest.raises(ParameterError, match="empty"):
        Bag(())
    with pytest.raises(ParameterError, match="No usual loft"):
        usual_club("driver")
