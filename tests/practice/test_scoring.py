"""A drill scored: checked, judged, a next step, and kept without loss."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import beta

from firstbounce.errors import FileFaults, ParameterError
from firstbounce.files.scores import add_score, format_scores, parse_scores, read_scores
from firstbounce.practice.scoring import (
    Step,
    Try,
    score_drill,
    share_interval,
    tries_of_count,
    tries_of_marks,
)
from firstbounce.practice.sheet import passes_of, sheet_of
from firstbounce.services.practice import find_drill, shipped_drills

DRILLS = shipped_drills()
CIRCLE, HELD = find_drill(DRILLS, "Landing circle"), find_drill(DRILLS, "Freeze until it stops")


def scored(drill, tries, **more):
    return score_drill(
        drill, tries, **({"id": "s1", "at": "2026-05-14T10:00:00+02:00", "player": "A. B."} | more)
    )


@pytest.mark.parametrize(
    ("hits", "of", "passed", "step"),
    [
        (9, 10, True, Step.HARDER),
        (8, 10, False, Step.SAME),
        (5, 10, False, Step.EASIER),
        (3, 3, None, Step.MORE),
    ],
)
def test_pass_and_next_step(hits, of, passed, step):
    score = scored(HELD, tries_of_count(hits, of))
    assert (score.passed, score.step) == (passed, step)
    assert {Step.HARDER: HELD.harder, Step.EASIER: HELD.easier}.get(step, "") in score.advice


def test_a_hit_more_never_makes_it_easier():
    order = [Step.EASIER, Step.SAME, Step.HARDER]
    for drill in DRILLS:
        steps = [
            order.index(scored(drill, tries_of_count(k, drill.out_of)).step) for k in range(drill.out_of + 1)
        ]
        assert steps == sorted(steps)
        assert [
            scored(drill, tries_of_count(k, drill.out_of)).passed for k in (drill.passes - 1, drill.passes)
        ] == [
            False,
            True,
        ]


@given(n=st.integers(1, 200), share=st.floats(0, 1))
def test_interval_of_a_rate(n, share):
    hits = round(share * n)
    low, high = share_interval(hits, n)
    assert 0 <= low <= hits / n <= high <= 1
    if 0 < hits < n:
        assert (low, high) == pytest.approx(beta.ppf([0.05, 0.95], hits + 0.5, n - hits + 0.5))


def test_circles_adapt_from_the_balls():
    tries = tries_of_marks("xxxxxxxxxxxxxxxx", size_m=2.0)
    better = scored(CIRCLE, tries)
    worse = scored(CIRCLE, tries_of_marks("oooooooooooooooo", size_m=2.0))
    assert (
        better.next_size_m < 2.0 < worse.next_size_m
        and better.size_low_m < better.size_m < better.size_high_m
    )
    assert "Lay the circle with a radius of" in better.advice
    few = scored(CIRCLE, tries_of_marks("x x o x", size_m=2.0))
    assert few.size_m is None and few.next_size_m is not None


def test_tagged_mishits_are_misses_that_do_not_move_the_circle():
    clean = scored(CIRCLE, tries_of_marks("xxoxxoxxoxxoxxo", size_m=2.0))
    tagged = scored(CIRCLE, tries_of_marks("xxomxxomxxomxxomxxom", size_m=2.0))
    assert tagged.hits == clean.hits and tagged.out_of == clean.out_of + 5
    assert tagged.next_size_m <= clean.next_size_m
    with pytest.raises(ParameterError, match="a hit and a mishit at once"):
        scored(CIRCLE, [Try(hit=True, mishit=True)])


def test_a_radius_for_each_try():
    tries = tries_of_marks("x@1.2 o x@1.1", size_m=2.0)
    assert [one.size_m for one in tries] == [1.2, 2.0, 1.1] and [one.hit for one in tries] == [
        True,
        False,
        True,
    ]
    assert [one.hit for one in tries_of_marks("xXoO10")] == [True, True, False, False, True, False]


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: tries_of_count(11, 10), "Hits must be 0 to the number of tries"),
        (lambda: tries_of_count(-1, 10), "Hits must be 0"),
        (lambda: tries_of_count(0, 0), "number of tries must be 1"),
        (lambda: tries_of_count(1, 5000), "number of tries must be 1"),
        (lambda: tries_of_marks("xxq"), "Try 3: write x for a hit"),
        (lambda: tries_of_marks("x@wide o"), "Try 1"),
        (lambda: scored(CIRCLE, []), "needs 1 to 200 tries, got 0"),
        (
            lambda: scored(CIRCLE, [Try(hit=True), Try(hit=True, size_m=40)]),
            "try 2: size_m must be 0.1 to 10 m",
        ),
        (lambda: scored(CIRCLE, [Try(hit=True, carry_m=400)]), "try 1: carry_m"),
    ],
)
def test_entries_out_of_range_are_named(make, says):
    with pytest.raises(ParameterError, match=says):
        make()


def test_sheets_keep_the_share_that_passes():
    for drill in DRILLS:
        assert passes_of(drill, drill.out_of) == drill.passes
        for balls in range(6, 41):
            sheet = sheet_of(drill, drill.score, balls)
            assert 1 <= sheet.passes <= sheet.tries <= balls
            assert "\n".join(sheet.lines()).count("[ ]") == sheet.tries
    pairs = sheet_of(find_drill(DRILLS, "Low, high, low, high"), "both", 12)
    assert (pairs.tries, pairs.passes) == (6, 4)


some_tries = st.lists(
    st.builds(
        lambda kind, **sizes: Try(hit=kind == "hit", mishit=kind == "mishit", **sizes),
        kind=st.sampled_from(["hit", "miss", "mishit"]),
        size_m=st.none() | st.floats(0.1, 10).map(lambda x: float(f"{x:.4g}")),
        carry_m=st.none() | st.floats(0.5, 60).map(lambda x: float(f"{x:.4g}")),
        stick_m=st.none() | st.floats(0.3, 2.5).map(lambda x: float(f"{x:.4g}")),
    ),
    min_size=1,
    max_size=30,
)


@settings(max_examples=50, deadline=None)
@given(
    drill=st.sampled_from(DRILLS),
    lots=st.lists(some_tries, min_size=1, max_size=4),
    player=st.text(st.characters(blacklist_categories=("Cs", "Cc", "Zl", "Zp")), min_size=1, max_size=20),
)
def test_scores_come_back_from_a_file_as_they_were(drill, lots, player):
    made = [scored(drill, tries, id=f"s{k}", player=player) for k, tries in enumerate(lots)]
    assert list(parse_scores("scores.csv", format_scores(made), DRILLS)) == made


def test_scores_are_added_and_nothing_is_overwritten(tmp_path):
    path = tmp_path / "scores.csv"
    first, second = scored(HELD, tries_of_count(9, 10)), scored(CIRCLE, tries_of_count(10, 20), id="s2")
    assert add_score(path, first, DRILLS) == 1
    before = path.read_text()
    assert add_score(path, second, DRILLS) == 2
    assert path.read_text().startswith(before)
    assert [score.drill for score in read_scores(path, DRILLS)] == [HELD.name, CIRCLE.name]
    with pytest.raises(ParameterError, match="already"):
        add_score(path, first, DRILLS)


def test_a_faulty_file_is_refused_whole(tmp_path):
    path = tmp_path / "scores.csv"
    add_score(path, scored(CIRCLE, tries_of_marks("xox", 1.0)), DRILLS)
    text = path.read_text()
    path.write_text(
        text.replace(",hit,", ",maybe,", 1).replace(",1,,", ",wide,,", 1).replace(CIRCLE.name, "Juggling", 1)
    )
    with pytest.raises(FileFaults) as seen:
        read_scores(path, DRILLS)
    assert {fault.column for fault in seen.value.faults} >= {"result", "drill"}
    assert all(fault.line == 3 for fault in seen.value.faults if fault.column in ("result", "drill"))
    for bad in ("", "nonsense\n", "# firstbounce scores 1\na,b\n"):
        with pytest.raises(FileFaults):
            parse_scores(path, bad, DRILLS)


def test_logged_sticks_are_given_to_the_stick_model():
    stick = find_drill(DRILLS, "Stick for the finish")
    score = scored(
        stick, [Try(hit=True, carry_m=10.0, stick_m=0.7), Try(hit=False, carry_m=9.0), Try(hit=True)]
    )
    assert score.sticks == ((0.7, 10.0),)
