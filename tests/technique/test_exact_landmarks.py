"""Measures from exact landmarks equal what was written down; with noise their errors stay as stated."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from people import chain_of, landmarks_of
from render.swing import Swing, sequence
from scipy.integrate import solve_ivp

from firstbounce.technique.marks import Item, PassMarks, Verdict
from firstbounce.technique.measures import Name
from firstbounce.technique.swings import find_swings
from firstbounce.technique.watching import watch_landmarks

GOOD = Swing(ratio=1.0, hold=1.4)


def one(swings=(GOOD,), **options):
    watched = watch_landmarks(chain_of(swings, **options), exact=True)
    assert not watched.all_refusals
    return watched.swings


@pytest.mark.parametrize("left_handed", [False, True])
@pytest.mark.parametrize("fps", [60, 120, 240])
def test_arcs_times_and_hold_are_those_of_the_swing(fps, left_handed):
    (seen,) = one(fps=fps, left_handed=left_handed)
    value = {name: measure.value for name, measure in seen.measures.items()}
    assert seen.left_handed is left_handed
    assert value[Name.ARC_BACK] == pytest.approx(GOOD.back, abs=0.001)
    assert value[Name.ARC_THROUGH] == pytest.approx(GOOD.through, abs=0.005)
    assert value[Name.RATIO] == pytest.approx(1.0, abs=2e-4)
    assert value[Name.TIME_BACK] == pytest.approx(GOOD.back_time, abs=1e-4)
    assert value[Name.TIME_DOWN] == pytest.approx(GOOD.down_time, abs=1e-4)
    assert value[Name.TEMPO] == pytest.approx(GOOD.back_time / GOOD.down_time, abs=1e-3)
    assert value[Name.HELD] == pytest.approx(sequence((GOOD,))[0].held(), abs=0.002)
    assert value[Name.RECOIL] == pytest.approx(0.0, abs=1e-6)
    assert value[Name.LEAD_ELBOW] == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("changes", [{"profile": "minimum jerk"}, {"recoil": 10.0}, {"ratio": 0.75}])
def test_other_courses_are_measured_as_written_down(changes):
    swing = Swing(**({"ratio": 1.0} | changes))
    (seen,) = one((swing,))
    value = {name: measure.value for name, measure in seen.measures.items()}
    assert value[Name.ARC_BACK] == pytest.approx(swing.back, abs=0.001)
    assert value[Name.ARC_THROUGH] == pytest.approx(swing.through, abs=0.02)
    assert value[Name.TIME_BACK] == pytest.approx(swing.back_time, abs=1e-4)
    assert value[Name.TIME_DOWN] == pytest.approx(swing.down_time, abs=1e-4)
    assert value[Name.HELD] == pytest.approx(sequence((swing,))[0].held(), abs=0.004)
    assert value[Name.RECOIL] == pytest.approx(swing.recoil, abs=0.03)


def test_angles_at_still_moments_are_exact():
    (seen,) = one()
    for name, angle in ((Name.SHOULDERS_ADDRESS, 0.0), (Name.SHOULDERS_FINISH, 0.0)):
        assert seen.measures[name].value == pytest.approx(angle, abs=1e-6)


@pytest.mark.parametrize(
    ("changes", "item"),
    [
        ({"ratio": 0.75}, Item.MATCH),
        ({"ratio": 1.25}, Item.MATCH),
        ({"recoil": 10.0}, Item.RECOIL),
        ({"hold": 0.3}, Item.HELD),
        ({"collapse": 20.0}, Item.ARMS),
    ],
)
def test_each_fault_is_told_and_nothing_else(changes, item):
    (seen,) = one((Swing(**({"ratio": 1.0} | changes)),))
    failed = {judged.item for judged in seen.judged if judged.verdict is Verdict.FAILED}
    assert failed == {item}
    assert all(judged.drills and judged.fault for judged in seen.judged if judged.item is item)


def test_a_good_swing_passes_everything():
    (seen,) = one()
    assert {judged.verdict for judged in seen.judged} == {Verdict.PASSED}


def test_several_swings_are_found_and_waggles_are_not():
    assert len(one((GOOD, GOOD, GOOD))) == 3
    time = np.arange(0, 4, 1 / 60)
    waggle = 5 * np.sin(2 * np.pi * time)
    assert find_swings(time, waggle) == []
    assert find_swings(time, np.zeros_like(time)) == []


def test_a_quick_start_back_is_a_swing_and_the_way_back_to_the_ball_is_none():
    """Least jerk makes a backswing as fast as the way through; swings with a pause between them stay two."""
    quick = Swing(ratio=1.0, back_time=0.42, down_time=0.34, profile="minimum jerk", return_time=0.7)
    seen = one((quick, quick))
    assert [s.moments.strike for s in seen] == pytest.approx(
        [quick.marks["strike"], quick.marks["end"] + quick.marks["strike"]], abs=0.01
    )


def test_a_clip_that_ends_while_the_finish_is_held_says_at_least():
    swing = Swing(ratio=1.0, hold=3.0)
    landmarks = chain_of((swing,)).between(0, swing.marks["finish"] + 1.6)
    (seen,) = watch_landmarks(landmarks, exact=True).swings
    held = seen.measures[Name.HELD]
    assert held.at_least and held.value == pytest.approx(1.6, abs=0.1)
    assert next(j for j in seen.judged if j.item is Item.HELD).verdict is Verdict.PASSED


def test_tempo_needs_frames_and_the_rest_does_not():
    (seen,) = one(fps=30)
    assert "60 or more" in seen.measures[Name.TEMPO].refusal
    assert seen.measures[Name.RATIO].value == pytest.approx(1.0, abs=0.02)


def test_slow_motion_saved_at_normal_speed_is_noticed():
    landmarks = chain_of((GOOD,), fps=240)
    slow = landmarks_of(landmarks.time * 8, landmarks.xy)
    watched = watch_landmarks(slow, exact=True)
    assert all("slow motion" in s.measures[Name.TEMPO].refusal for s in watched.swings)


def test_the_shaft_is_never_made_up():
    (seen,) = one()
    assert seen.measures[Name.HANDS_AHEAD].value is None
    assert "Not measurable here" in seen.measures[Name.HANDS_AHEAD].refusal


@settings(max_examples=15, deadline=None)
@given(
    back=st.floats(22, 60),
    ratio=st.floats(0.6, 1.6),
    address=st.floats(-5, 10),
    scale=st.floats(0.3, 3.0),
    shift=st.floats(-300, 300),
)
def test_arcs_do_not_depend_on_where_or_how_large_the_player_is(back, ratio, address, scale, shift):
    swing = Swing(back=back, ratio=ratio, address=address)
    landmarks = chain_of((swing,))
    middle = 5000.0 + shift
    moved = landmarks_of(landmarks.time, landmarks.xy * scale + middle, size=20_000)
    (seen,) = watch_landmarks(moved, exact=True).swings
    assert seen.measures[Name.ARC_BACK].value == pytest.approx(back, abs=0.02)
    assert seen.measures[Name.RATIO].value == pytest.approx(ratio, abs=0.004)


def double_pendulum(fps=240):
    """Arms and club as two rods under gravity with a torque at the shoulders: arms' angle over time [deg].

    Equations of a planar double pendulum with rods of 0.6 and 0.9 m, in Lagrange's form; released from
    -35 degrees after a still address and a cosine backswing, stopped at its first standstill, then held.
    """
    m1, m2, l1, l2, g = 6.0, 0.4, 0.6, 0.9, 9.81

    def rates(_time, y):
        a, b, u, v = y
        d = a - b
        mass = np.array(
            [
                [(m1 / 3 + m2) * l1**2, m2 * l1 * l2 / 2 * np.cos(d)],
                [m2 * l1 * l2 / 2 * np.cos(d), m2 * l2**2 / 3],
            ]
        )
        push = np.array(
            [
                -m2 * l1 * l2 / 2 * np.sin(d) * v**2 - (m1 / 2 + m2) * g * l1 * np.sin(a) - 25 * a,
                m2 * l1 * l2 / 2 * np.sin(d) * u**2 - m2 * g * l2 / 2 * np.sin(b),
            ]
        )
        return [u, v, *np.linalg.solve(mass, push)]

    def stands(_time, y):
        return y[2]

    stands.terminal, stands.direction = True, -1
    start = np.radians([-35.0, -60.0])
    run = solve_ivp(rates, (0, 3), [*start, 0, 0], events=stands, dense_output=True, rtol=1e-9, atol=1e-9)
    down = np.arange(0, run.t[-1], 1 / fps)
    back = -35 * (1 - np.cos(np.pi * np.arange(0, 0.6, 1 / fps) / 0.6)) / 2
    swing = np.degrees(run.sol(down)[0])
    end = np.degrees(run.y_events[0][0][0])
    angle = np.concatenate([np.zeros(fps), back, swing, np.full(2 * fps, end)])
    strike = float(np.interp(0.0, swing, down))
    return np.arange(len(angle)) / fps, angle, strike, end


def test_a_double_pendulum_is_measured_as_it_swings():
    time, angle, down, end = double_pendulum()
    (swing,) = find_swings(time, angle)
    assert swing.address_deg - swing.top_deg == pytest.approx(35.0, abs=0.2)
    assert swing.finish_deg == pytest.approx(end, abs=0.2)
    assert swing.strike - swing.top == pytest.approx(down, abs=0.006)
    assert swing.top - swing.start == pytest.approx(0.6, abs=0.015)


@pytest.mark.parametrize("pixels", [1.0, 2.0])
def test_with_noise_the_stated_errors_hold(pixels):
    """Independent noise on every point: the 90 % intervals hold the truth in at least 85 % of the swings."""
    rng = np.random.default_rng(int(pixels * 10))
    clean = chain_of((GOOD,), fps=120)
    held = {Name.ARC_BACK: 0, Name.ARC_THROUGH: 0, Name.HELD: 0}
    truth = {Name.ARC_BACK: GOOD.back, Name.ARC_THROUGH: GOOD.through, Name.HELD: GOOD.hold + 0.05}
    for _ in range(25):
        noisy = landmarks_of(clean.time, clean.xy + rng.normal(0, pixels, clean.xy.shape))
        (seen,) = watch_landmarks(noisy, exact=True).swings
        for name in held:
            held[name] += seen.measures[name].low <= truth[name] <= seen.measures[name].high
    assert min(held.values()) >= 21


def test_errors_grow_with_the_noise_as_stated():
    """Twice the noise on every point: errors and their ranges are about twice as large."""
    rng = np.random.default_rng(3)
    clean = chain_of((GOOD,), fps=120)
    errors, widths = {}, {}
    for pixels in (1.0, 2.0):
        seen = [
            watch_landmarks(
                landmarks_of(clean.time, clean.xy + rng.normal(0, pixels, clean.xy.shape)), exact=True
            )
            for _ in range(20)
        ]
        arcs = [watched.swings[0].measures[Name.ARC_BACK] for watched in seen]
        errors[pixels] = np.std([arc.value for arc in arcs])
        widths[pixels] = np.mean([arc.high - arc.low for arc in arcs])
    assert 1.3 < errors[2.0] / errors[1.0] < 3.1  # 2 within the chance of 20 draws each
    assert 1.5 < widths[2.0] / widths[1.0] < 2.1
    assert all(errors[p] < widths[p] / 2 / 1.645 * 1.6 for p in errors)


def test_pass_marks_can_be_changed():
    swing = Swing(ratio=1.25)
    wide = watch_landmarks(chain_of((swing,)), exact=True, marks=PassMarks(ratio_high=1.5))
    assert next(j for j in wide.swings[0].judged if j.item is Item.MATCH).verdict is Verdict.PASSED
