"""The drawing of every shipped drill: whole, tidy, and said in words."""

import pytest

from firstbounce.pictures.setup import compose_set_up
from firstbounce.players.player import Hand, player_of_level
from firstbounce.practice.set_up import set_up
from firstbounce.services.practice import shipped_drills
from firstbounce.words import Level

DRILLS = shipped_drills()


@pytest.mark.parametrize("one", DRILLS, ids=lambda d: d.name)
@pytest.mark.parametrize("hand", Hand)
def test_no_word_of_a_drawing_is_left_out(one, hand):
    for level in (Level.SCRATCH, Level.BEGINNER):
        for carry in one.carry_m:
            picture = set_up(one, player_of_level(level, hand=hand), carry_m=carry).picture
            canvas, said = compose_set_up(picture)
            assert canvas.unplaced == []
            assert said.count("target up the page") == 1


@pytest.mark.parametrize("one", DRILLS, ids=lambda d: d.name)
def test_a_drawing_shows_every_mark_of_the_drill(one):
    picture = set_up(one, player_of_level(Level.TEN_TO_EIGHTEEN)).picture
    drawn = [sign.kind for sign in (*picture.signs, *picture.near)]
    assert {mark.kind for mark in one.marks} <= set(drawn)
    assert bool(picture.figure) == bool(one.figure)
