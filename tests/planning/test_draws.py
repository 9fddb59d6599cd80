"""Seeds from inputs and evenly spread draws."""

from dataclasses import dataclass

import numpy as np
import pytest

from firstbounce.errors import ParameterError
from firstbounce.planning.draws import even_normals, even_uniforms, generator, seed_of
from firstbounce.words import Lie, LieKind, Point, Station

STATION = Station(name="one", start=Point(0, 0), hole=Point(0, 12))


def test_same_inputs_same_seed():
    assert seed_of(STATION, 3, "a", {"b": 1.5}) == seed_of(STATION, 3, "a", {"b": 1.5})


@pytest.mark.parametrize(
    "other",
    [
        Station(name="one", start=Point(0, 0), hole=Point(0, 12.001)),
        Station(name="one", start=Point(0, 0), hole=Point(0, 12), lie=Lie(kind=LieKind.TIGHT)),
        Station(name="one", start=Point(0, 0), hole=Point(0, 12), lie=Lie(wet=True)),
    ],
)
def test_any_change_changes_the_seed(other):
    assert seed_of(STATION) != seed_of(other)


def test_number_and_word_differ():
    assert seed_of(1) != seed_of("1")
    assert seed_of(np.arange(4)) != seed_of(np.arange(4).reshape(2, 2))


def test_a_thing_without_plain_content_is_refused():
    with pytest.raises(ParameterError, match="cannot be seeded"):
        seed_of(object())


def test_records_that_hold_arrays_have_seeds():
    @dataclass(frozen=True)
    class Holder:
        values: np.ndarray

    assert seed_of(Holder(np.ones(3))) != seed_of(Holder(np.zeros(3)))


def test_even_draws_are_even_and_repeat():
    one, two = even_uniforms(generator(7), 1024, 5), even_uniforms(generator(7), 1024, 5)
    assert (one == two).all()
    assert one.mean(axis=0) == pytest.approx(np.full(5, 0.5), abs=2e-3)
    normals = even_normals(generator(7), 1000, 5)
    assert normals.shape == (1000, 5)
    assert normals.std(axis=0) == pytest.approx(np.ones(5), abs=0.02)


def box_error(points, boxes):
    """Largest miss of the share of points in boxes that start at the corner, over pairs of columns."""
    worst = 0.0
    for i in range(points.shape[1]):
        for j in range(i):
            inside = (points[:, None, i] < boxes[:, 0]) & (points[:, None, j] < boxes[:, 1])
            worst = max(worst, np.abs(inside.mean(axis=0) - boxes[:, 0] * boxes[:, 1]).max())
    return worst


@pytest.mark.parametrize("first", [0, 512])
def test_pairs_of_columns_are_more_even_than_chance(first):
    boxes = generator(1).random((200, 2))
    even = even_uniforms(generator(2), 1024, 16)[first : first + 512]
    chance = generator(3).random((512, 16))
    assert box_error(even, boxes) < box_error(chance, boxes) / 2


def test_too_many_columns_are_refused():
    with pytest.raises(ParameterError, match="1 to 24 columns"):
        even_uniforms(generator(1), 8, 25)
