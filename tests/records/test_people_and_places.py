"""Players, consent, links, greens, readings and stations: what goes in comes out, once, and rules hold."""

import datetime
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from invented import NOON, OUTLINE, World, a_player

from firstbounce.errors import FileFaults, NotThere, ParameterError, StoreError
from firstbounce.players.clubs import usual_bag, usual_club
from firstbounce.players.player import Hand
from firstbounce.records.codec import columns_of, row_of, values_of
from firstbounce.records.rows.base import plain, row_from
from firstbounce.records.rows.people import Consent, ConsentKind, Giver, Note, PlayerRow
from firstbounce.records.rows.places import (
    DayRow,
    GreenRow,
    HeightRows,
    Reading,
    ReadingKind,
    Shape,
    StationRow,
)
from firstbounce.records.tables import PLAYER
from firstbounce.services import greens, players
from firstbounce.services.store import new_id
from firstbounce.units import LengthUnit
from firstbounce.words import Level, Lie, LieKind, Point, Source, TurfKind

texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), min_size=1, max_size=80)
offsets = st.integers(-1080, 1080).map(lambda minutes: datetime.timezone(datetime.timedelta(minutes=minutes)))
moments = st.datetimes(
    datetime.datetime(1975, 1, 1), datetime.datetime(8000, 1, 1), timezones=offsets, allow_imaginary=False
)
some_players = st.builds(
    PlayerRow,
    id=st.uuids().map(lambda one: one.hex),
    name=texts.filter(str.strip),
    level=st.sampled_from(Level),
    made=moments,
    hand=st.sampled_from(Hand),
    units=st.sampled_from(LengthUnit),
    clubs=st.sampled_from([usual_bag().clubs, (usual_club("SW"),)]),
    extra_lean_deg=st.none() | st.floats(-10, 10),
    spread_share=st.none() | st.floats(0, 0.6),
    archived=st.booleans(),
)


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(player=some_players)
def test_a_player_comes_back_as_kept_whatever_the_name_and_the_time_zone(store, player):
    player = replace(player, id=new_id())  # examples share the store
    players.add_player(store, player)
    assert players.player(store, player.id) == player
    assert row_from(PlayerRow, plain(player)) == player


def test_every_field_of_a_player_has_a_column():
    fields = set(columns_of(PlayerRow)) - {"clubs"}
    assert fields | {"balls"} == {column.name for column in PLAYER.columns}


def test_a_row_through_columns_is_the_same_row():
    station = StationRow(
        id=new_id(), name="Gate", made=NOON, start_m=(0.1, -4), hole_m=(1, 11),
        lie=Lie(kind=LieKind.HEAVY_ROUGH_DOWN, wet=True, uphill_deg=-3.5, above_feet_deg=2),
    )  # fmt: skip
    values = values_of(station)
    assert values["start_x_m"] == 0.1 and values["lie_wet"] == 1 and values["landing_spot_x_m"] is None
    assert row_of(StationRow, values) == station


def test_the_same_player_sent_twice_is_kept_once_and_unchanged(store):
    player = a_player()
    players.add_player(store, player)
    players.add_player(store, replace(player, name="Somebody else"))
    assert [line.name for line in players.player_list(store)] == [player.name]


def test_a_change_keeps_the_levels_a_player_had(store):
    player = a_player(level=Level.BEGINNER)
    players.add_player(store, player)
    bag = (usual_club("PW"), replace(usual_club("SW"), loft_deg=55.5, source=Source.MEASURED))
    players.change_player(store, replace(player, level=Level.TEN_TO_EIGHTEEN, clubs=bag, name="I. K."))
    assert [since.level for since in players.levels(store, player.id)] == [
        Level.BEGINNER,
        Level.TEN_TO_EIGHTEEN,
    ]
    assert players.player(store, player.id).clubs == bag
    players.archive_player(store, player.id)
    assert players.player_list(store) == () and len(players.player_list(store, archived=True)) == 1


def test_the_list_pages_by_name_and_finds_letters(store):
    names = ["ada", "Ada", "Bo", "bo_b", "Ço", "Zoë", "100%"]
    for name in names:
        players.add_player(store, a_player(name=name))
    seen, after = [], ""
    while page := players.player_list(store, limit=2, after=after):
        seen += [line.name for line in page]
        after = page[-1].id
    assert sorted(seen) == sorted(names)
    assert {line.name for line in players.player_list(store, named="ADA")} == {"ada", "Ada"}
    assert [line.name for line in players.player_list(store, named="%")] == ["100%"]
    assert [line.name for line in players.player_list(store, named="_")] == ["bo_b"]


def test_the_player_of_the_models_has_the_usual_values_where_nothing_was_measured(store):
    player = a_player(level=Level.TEN_TO_EIGHTEEN, hand=Hand.LEFT, spread_share=0.2)
    known = players.model_player(player)
    assert (known.spread.share, known.hand, known.bag.names) == (0.2, Hand.LEFT, usual_bag().names)
    assert known.bag.club("PW").loft_sd_deg == 2.0


@pytest.mark.parametrize(
    "wrong",
    [{"id": "x"}, {"name": ""}, {"name": "x" * 81}, {"name": "a\0"}, {"level": "wizard"}, {"attack_deg": 80},
     {"clubs": ()}, {"clubs": (usual_club("SW"), usual_club("SW"))}, {"made": "noon"}, {"nickname": "x"},
     {"spread_share": float("nan")}, {"name": "\ud800"}],
)  # fmt: skip
def test_a_player_that_makes_no_sense_is_one_sentence(wrong):
    good = plain(a_player())
    with pytest.raises(ParameterError, match="cannot be kept") as told:
        row_from(PlayerRow, good | wrong)
    assert "\n" not in str(told.value)


def guardian(player, **given):
    usual = {"id": new_id(), "player_id": player.id, "kind": ConsentKind.RECORD, "given_by": Giver.GUARDIAN}
    return Consent(
        **usual | {"guardian": "A. K.", "given": NOON, "delete_by": datetime.date(2027, 5, 14)} | given
    )


def test_a_juniors_record_needs_a_guardian_and_a_day_to_delete_it_by(store):
    junior = a_player(name="J7", junior=True)
    for consents in ((), (guardian(junior, delete_by=None),), (guardian(junior, kind=ConsentKind.FILMING),)):
        with pytest.raises(ParameterError, match="guardian's consent first"):
            players.add_player(store, junior, consents)
    with pytest.raises(ValueError, match="guardian's name"):
        guardian(junior, guardian=None)
    with pytest.raises(NotThere):
        players.player(store, junior.id)
    players.add_player(store, junior, (guardian(junior),))
    assert players.may(store, junior.id, ConsentKind.RECORD)
    assert not players.may(store, junior.id, ConsentKind.FILMING)


def test_no_grown_up_becomes_a_junior_without_consent(store):
    player = a_player()
    players.add_player(store, player)
    with pytest.raises(ParameterError, match="guardian"):
        players.change_player(store, replace(player, junior=True))
    players.add_consent(store, guardian(player))
    players.change_player(store, replace(player, junior=True))


def test_consent_ends_when_withdrawn_and_records_fall_due(store):
    past, future = a_player(), a_player()
    for player, day in ((past, datetime.date(2020, 1, 1)), (future, datetime.date(2090, 1, 1))):
        players.add_player(store, player, (guardian(player, delete_by=day),))
    assert players.due_for_erasing(store) == (past.id,)
    assert not players.may(store, past.id, ConsentKind.RECORD)
    assert players.may(store, future.id, ConsentKind.RECORD)
    players.withdraw_consent(store, players.consents(store, future.id)[0].id)
    assert not players.may(store, future.id, ConsentKind.RECORD)
    assert players.consents(store, future.id)[0].withdrawn is not None


def test_a_consent_for_another_player_is_refused_whole(store):
    player = a_player(junior=True)
    with pytest.raises(ParameterError, match="another player"):
        players.add_player(store, player, (guardian(player), guardian(a_player())))
    assert players.player_list(store) == ()


def test_a_link_opens_until_it_expires_or_is_taken_back(store):
    player = a_player()
    players.add_player(store, player)
    link = players.make_link(store, player.id, days=3)
    assert players.open_link(store, link.id).player_id == player.id
    now, clock = store.clock(), store.clock
    store.clock = lambda: now + datetime.timedelta(days=3, seconds=1)
    with pytest.raises(StoreError, match="expired"):
        players.open_link(store, link.id)
    store.clock = clock
    players.revoke_link(store, link.id)
    with pytest.raises(StoreError, match="taken back"):
        players.open_link(store, link.id)
    with pytest.raises(NotThere):
        players.open_link(store, new_id())
    with pytest.raises(NotThere):
        players.make_link(store, new_id())
    with pytest.raises(ParameterError):
        players.make_link(store, player.id, days=0)


def test_notes_come_newest_first(store):
    player = a_player()
    players.add_player(store, player)
    for day in range(3):
        made = NOON + datetime.timedelta(days=day)
        players.add_note(store, Note(id=new_id(), player_id=player.id, made=made, text=f"day {day}"))
    assert [note.text for note in players.notes(store, player.id, 2)] == ["day 2", "day 1"]


def test_the_shape_made_last_counts_and_the_others_are_the_way_back(store):
    world = World(store)
    later = replace(world.shape, id=new_id(), made=NOON + datetime.timedelta(minutes=5), fringe_m=2.0)
    greens.add_shape(store, later)
    assert greens.shape(store, world.green.id) == later
    assert greens.shapes(store, world.green.id) == (later, world.shape)


def test_a_shape_that_can_be_no_green_is_refused_in_words(store):
    green = GreenRow(id=new_id(), name="Knot", made=NOON)
    greens.add_green(store, green)
    knot = Shape(id=new_id(), green_id=green.id, made=NOON, outline=((0, 0), (8, 8), (8, 0), (0, 8)))
    with pytest.raises(FileFaults, match="crosses itself"):
        greens.add_shape(store, knot)
    with pytest.raises(NotThere, match="no shape yet"):
        greens.shape(store, green.id)


def test_readings_are_kept_as_read_and_corrections_point_back(store):
    world = World(store)
    first = world.reading(ReadingKind.ROLLS, {"up_m": [2.0, 2.1], "down_m": [3.3]})
    greens.add_reading(store, first)
    better = world.reading(ReadingKind.ROLLS, {"up_m": [2.2], "down_m": [3.3]}, corrects_id=first.id)
    greens.add_reading(store, better)
    standing = greens.readings(store, world.green.id, world.day.id)
    assert better in standing and first not in standing
    assert first in greens.all_readings(store, world.green.id, world.day.id)
    away = world.reading(ReadingKind.ROLLS, better.given, corrects_id=better.id, withdrawn=True)
    greens.add_reading(store, away)
    kinds = [one.kind for one in greens.readings(store, world.green.id, world.day.id)]
    assert ReadingKind.ROLLS not in kinds
    other = DayRow(id=new_id(), green_id=world.green.id, date=NOON.date(), made=NOON)
    greens.add_day(store, other)
    with pytest.raises(StoreError, match="same green and day"):
        greens.add_reading(store, replace(first, id=new_id(), day_id=other.id, corrects_id=first.id))


@pytest.mark.parametrize(
    ("kind", "said"),
    [(ReadingKind.STIMP, {"stimp_ft": 40}), (ReadingKind.STIMP, {}), (ReadingKind.SPEED, {"speed": "quick"}),
     (ReadingKind.DROPS, {"drop_heights_m": []}), (ReadingKind.WIND, {"beaufort": 12}),
     (ReadingKind.WET, {"wet": True, "very": True}),
     (ReadingKind.SLOPE, {"slope_percent": 2, "downhill_deg": 0})],
)  # fmt: skip
def test_a_reading_that_makes_no_sense_is_refused(kind, said):
    with pytest.raises(ValueError, match="reading"):
        Reading(id=new_id(), green_id=new_id(), day_id=new_id(), made=NOON, kind=kind, given=said)


def test_the_day_of_the_models_comes_from_the_readings(store):
    world = World(store)
    for kind, said in (
        (ReadingKind.FIRMNESS, {"firmness": "firm"}),
        (ReadingKind.DROPS, {"drop_heights_m": [0.25, 0.27]}),
        (ReadingKind.WET, {"wet": True}),
        (ReadingKind.WIND, {"beaufort": 3, "from_deg": 270}),
        (ReadingKind.WEATHER, {"temperature_c": 20}),
        (ReadingKind.SPEED, {"speed": "slow"}),
    ):
        greens.add_reading(store, world.reading(kind, said))
    day = greens.model_day(store, world.day.id, player=world.player, stations=(world.station,))
    assert day.today.stimp_ft.value == 9.2  # a measured speed before a word, though the word came later
    assert day.today.firmness.source is Source.MEASURED and day.today.wet
    assert day.today.weather.temperature_c == 20 and day.today.wind.speed_m_s > 2
    assert day.station("Path").hole == Point(1, 11)
    slope = day.file.surface.reading[0]
    assert (slope.slope_percent, slope.at) == (1.5, (0, 6))
    assert day.ground.turf_at(10, 3) is TurfKind.BUNKER


def test_heights_count_before_one_slope_before_readings_before_a_word(store):
    world = World(store)
    grid = HeightRows(x0_m=-30, y0_m=-30, cell_m=10, rows=tuple((0.1 * i,) * 7 for i in range(7)))
    for minute, (more, wanted) in enumerate([
        ({"heights": grid}, "heights"),
        ({"slope_percent": 2.0, "downhill_deg": 0.0}, "slope_percent"),
        ({"slope_word": "uphill"}, "reading"),
    ], start=1):  # fmt: skip
        made = NOON + datetime.timedelta(minutes=minute)
        greens.add_shape(
            store, Shape(id=new_id(), green_id=world.green.id, made=made, outline=OUTLINE, **more)
        )
        assert getattr(greens.green_file(store, world.day.id).surface, wanted)


def test_stations_of_one_name_are_told_apart(store):
    world = World(store)
    twin = replace(world.station, id=new_id(), start_m=Point(3, -4))
    day = greens.model_day(store, world.day.id, stations=(world.station, twin))
    assert sorted(day.stations) == sorted(f"Path {one.id[:8]}" for one in (world.station, twin))


def test_a_station_leaves_the_list_and_stays_on_record(store):
    world = World(store)
    greens.archive_station(store, world.station.id)
    assert greens.stations(store, world.green.id) == ()
    assert greens.station(store, world.station.id).archived
    assert greens.days(store, world.green.id) == (world.day,)
    greens.change_green(store, replace(world.green, name="Upper", archived=True))
    assert greens.greens(store) == () and greens.greens(store, archived=True)[0].name == "Upper"
