"""Backup, restore, export, import, erase: nothing is lost, nothing is half done, what is gone is gone."""

import csv
import io
import json
import sqlite3
import threading
import zipfile
from dataclasses import replace

import pytest
from invented import NOON, World, a_ball, a_plan, a_player, a_session, everything
from sqlalchemy import text

from firstbounce.errors import NotThere, StoreError
from firstbounce.files.balls import parse_balls
from firstbounce.files.green import parse_green
from firstbounce.records.engine import FILE_NAME
from firstbounce.records.snapshot import MANIFEST, opened_backup
from firstbounce.records.tables import ALL
from firstbounce.services import erase as eraser
from firstbounce.services import files, greens, kept, players, sessions
from firstbounce.services.backup import backup, backups, restore
from firstbounce.services.day import day_of
from firstbounce.services.store import new_id
from firstbounce.services.transfer import export, take_in


def entries(path):
    with zipfile.ZipFile(path) as bundle:
        return {name: bundle.read(name) for name in bundle.namelist()}


def rewritten(path, to, **changed):
    """A copy of a ZIP with some entries changed (None: left out); `_` in names stands for a slash or dot."""
    contents = entries(path) | {name.replace("__", "/"): data for name, data in changed.items()}
    with zipfile.ZipFile(to, "w") as out:
        for name, data in contents.items():
            if data is not None:
                out.writestr(name, data)
    return to


def full(store):
    """Two players with everything, settings, a plan; gives the two worlds."""
    one, two = World(store), World(store, name="Tomé R", balls=3)
    kept.keep(store, a_plan(one.player, station_id=one.station.id, result={"ω": [1.5, None, True]}))
    kept.set_setting(store, "pace_m", 0.9)
    kept.set_setting(store, "passphrase", "hash", secret=True)
    return one, two


def test_a_backup_puts_everything_back_as_it_was(store):
    world, _ = full(store)
    before = everything(store)
    path = backup(store)
    sessions.log_balls(store, [a_ball(world.session, 500)])
    players.archive_player(store, world.player.id)
    files.drop_file(store, world.file.id)
    told = restore(store, path)
    assert everything(store) == before
    assert files.file(store, world.file.id)[1].read_bytes() == b"not really a picture"
    assert told.rows["ball"] == len(before["ball"]) and told.before in backups(store)
    assert sessions.log_balls(store, [a_ball(world.session, 501)]).kept, "arrivals go on after the last one"
    restore(store, told.before)
    assert players.player(store, world.player.id).archived


def test_a_backup_goes_from_one_kind_of_database_to_the_other(store, other_store):
    full(store)
    restore(other_store, backup(store))
    assert everything(other_store) == everything(store)
    restore(store, backup(other_store))
    assert everything(other_store) == everything(store)


def test_a_backup_taken_while_balls_are_logged_is_of_one_moment(store):
    world = World(store)
    stop = threading.Event()

    def log():
        seq = 1000
        while not stop.is_set():
            sessions.log_balls(store, [a_ball(world.session, seq), a_ball(world.session, seq + 1)])
            seq += 2

    writer = threading.Thread(target=log)
    writer.start()
    try:
        paths = [backup(store) for _ in range(4)]
    finally:
        stop.set()
        writer.join()
    assert len(set(paths)) == 4
    for path in paths:
        with opened_backup(path) as (database, _, _):
            copy = sqlite3.connect(database)
            pairs = copy.execute("select count(*) from ball where seq >= 1000").fetchone()[0]
            said = copy.execute("select balls from player").fetchone()[0]
            assert copy.execute("pragma integrity_check").fetchone() == ("ok",)
            copy.close()
        assert pairs % 2 == 0 and said == 5 + pairs


@pytest.mark.parametrize("harm", ["cut", "changed", "other", "missing", "empty"])
def test_a_damaged_backup_changes_nothing(file_store, tmp_path, harm):
    World(file_store)
    before, path = everything(file_store), backup(file_store, tmp_path / "b.zip")
    if harm == "cut":
        path.write_bytes(path.read_bytes()[:-3000])
    elif harm == "changed":
        data = bytearray(entries(path)[FILE_NAME])
        data[5000] ^= 1
        path = rewritten(path, tmp_path / "c.zip", **{FILE_NAME: bytes(data)})
    elif harm == "other":
        path = rewritten(path, tmp_path / "c.zip", **{MANIFEST: b'{"a": 1}'})
    elif harm == "missing":
        path.unlink()
    else:
        path.write_bytes(b"")
    with pytest.raises(StoreError, match="not a whole backup"):
        restore(file_store, path)
    assert everything(file_store) == before


def test_a_newer_backup_is_refused(store, tmp_path):
    with store.write() as connection:
        connection.execute(text("update alembic_version set version_num = '9999'"))
    with pytest.raises(StoreError, match="newer version"):
        restore(store, backup(store, tmp_path / "b.zip"))


def test_a_backup_that_cannot_be_written_is_one_sentence(file_store, tmp_path):
    (tmp_path / "in-the-way").write_text("")
    for to in (tmp_path, tmp_path / "in-the-way" / "b.zip"):
        with pytest.raises(StoreError):
            backup(file_store, to)


def without_secrets(found):
    return found | {"setting": [row for row in found["setting"] if not row["secret"]]}


def test_an_export_of_everything_comes_back_whole(store, other_store, tmp_path):
    world, other = full(store)
    gone = World(store, name="Gone", balls=1)
    eraser.erase(store, gone.player.id)
    told = export(store, tmp_path / "all.zip")
    taken = take_in(other_store, told.path)
    assert everything(other_store) == without_secrets(everything(store))
    assert taken.files == told.files == 2 and not taken.missing_files
    assert taken.rows == {name: number for name, number in told.rows.items() if number}
    for one in (world, other):
        assert files.file(other_store, one.file.id)[1].read_bytes() == b"not really a picture"
        assert players.ball_count(other_store, one.player.id) == players.ball_count(store, one.player.id)
    again = take_in(other_store, told.path)
    assert again.rows == {} and again.files == 0
    back = take_in(store, export(other_store, tmp_path / "back.zip").path)
    assert back.rows == {}


def test_an_export_of_one_player_has_all_of_theirs_and_nothing_of_others(store, other_store, tmp_path):
    world, other = full(store)
    told = export(store, tmp_path / "one.zip", world.player.id)
    every = b"".join(entries(told.path).values())
    for secret in (
        other.player.id,
        other.player.name,
        other.session.id,
        "hash",
        "passphrase",
    ):
        assert secret.encode() not in every
    take_in(other_store, told.path)
    mine, theirs = everything(store), everything(other_store)
    for name in (
        "ball",
        "session",
        "note",
        "consent",
        "lesson",
        "drill_score",
        "plan",
        "review",
        "technique",
        "guide",
        "kept_file",
    ):
        wanted = [row for row in mine[name] if row["player_id"] == world.player.id]
        assert theirs[name] == wanted and wanted, name
    day = greens.model_day(other_store, world.day.id, player=world.player, stations=(world.station,))
    assert day.today == greens.model_day(store, world.day.id, player=world.player).today
    assert theirs["setting"] == theirs["player_link"] == theirs["guide_link"] == []


def test_an_import_adds_what_is_new_and_leaves_what_is_there(store, other_store, tmp_path):
    world = World(store)
    first = export(store, tmp_path / "1.zip").path
    take_in(other_store, first)
    players.change_player(
        other_store, replace(world.player, name="Changed here", clubs=world.player.clubs[:2])
    )
    sessions.log_balls(other_store, [a_ball(world.session, 700)])
    sessions.log_balls(store, [a_ball(world.session, 701)])
    taken = take_in(other_store, export(store, tmp_path / "2.zip").path)
    assert taken.rows == {"ball": 1}
    here = players.player(other_store, world.player.id)
    assert here.name == "Changed here" and len(here.clubs) == 2
    assert players.ball_count(other_store, world.player.id) == 7
    assert [one.ball.seq for one in sessions.session_balls(other_store, world.session.id)][-2:] == [700, 701]


def test_an_import_does_not_bring_back_who_was_erased(store, other_store, tmp_path):
    world, other = full(store)
    path = export(store, tmp_path / "all.zip").path
    eraser.erase(store, world.player.id)
    taken = take_in(store, path)
    assert taken.left_out == (world.player.id,) and taken.rows == {}
    assert [line.id for line in players.player_list(store)] == [other.player.id]


def test_files_of_an_export_for_people_and_for_the_other_commands(store, tmp_path):
    world, _ = full(store)
    players.change_player(store, replace(world.player, name="=1+1"))
    found = entries(export(store, tmp_path / "all.zip").path)
    rows = list(csv.DictReader(io.StringIO(found["csv/ball.csv"].decode())))
    assert len(rows) == 8 + 6 and rows[0]["id"] == world.balls[0].id and rows[0]["landed_x_m"] == "0.1"
    assert "'=1+1" in found["csv/player.csv"].decode()
    folder = f"players/{world.player.id}/{world.day.id}"
    green = parse_green(tmp_path / "green.toml", found[f"{folder}/green.toml"].decode())
    there = day_of(green, "the export").stations
    text = found[f"{folder}/balls.csv"].decode()
    logged = parse_balls(tmp_path / "balls.csv", text, stations=there)
    assert len(logged.every) == 5 and len(logged.tallies) == 1
    assert {one.station for one in logged.every} <= {*there, None} and there
    assert green.today.stimp_ft == 9.2 and green.player.name == "=1+1"
    assert "docs/records.md" in found["README.txt"].decode()
    assert {f"json/{table.name}.json" for table in ALL} < set(found)


def harmed(found, harm):
    manifest, players_json = json.loads(found[MANIFEST]), json.loads(found["json/player.json"])
    if harm == "level":
        players_json[0]["level"] = "wizard"
    elif harm == "column":
        players_json[0]["colour"] = "red"
    elif harm == "range":
        players_json[0]["balls"] = -4
    elif harm == "text":
        players_json = {"a": 1}
    elif harm == "table":
        manifest["rows"]["alembic_version"] = 1
    elif harm == "newer":
        manifest["schema"] = "9999"
    elif harm == "path":
        manifest["rows"]["../../etc"] = 1
    elif harm == "points":
        players_json = []
    return {MANIFEST: json.dumps(manifest).encode(), "json/player.json": json.dumps(players_json).encode()}


@pytest.mark.parametrize("harm", ["level", "column", "range", "text", "table", "newer", "path", "points"])
def test_an_export_with_nonsense_in_it_is_refused_whole(file_store, other_store, tmp_path, harm):
    World(file_store)
    path = export(file_store, tmp_path / "all.zip").path
    bad = rewritten(path, tmp_path / "bad.zip", **harmed(entries(path), harm))
    with pytest.raises(StoreError, match=r"nothing was (taken in|written)"):
        take_in(other_store, bad)
    assert not any(everything(other_store).values())


@pytest.mark.parametrize("data", [b"", b"no zip", None])
def test_a_file_that_is_no_export_is_one_sentence(file_store, tmp_path, data):
    path = tmp_path / "x.zip"
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(StoreError, match="not an export"):
        take_in(file_store, path)


def test_a_backup_is_not_imported_and_secrets_are_not_taken_in(store, other_store, tmp_path):
    full(store)
    with pytest.raises(StoreError, match="firstbounce restore"):
        take_in(other_store, backup(store))
    path = export(store, tmp_path / "all.zip").path
    secret = json.dumps([{"name": "passphrase", "value": "mine", "secret": 1}]).encode()
    with pytest.raises(StoreError, match="secrets"):
        take_in(
            other_store,
            rewritten(path, tmp_path / "bad.zip", json__setting=secret, **{"json/setting.json": secret}),
        )


def test_a_file_that_was_changed_in_the_export_is_not_kept(file_store, other_store, tmp_path):
    world = World(file_store)
    path = export(file_store, tmp_path / "all.zip").path
    bad = rewritten(path, tmp_path / "bad.zip", **{f"files/{world.file.id}": b"another picture"})
    taken = take_in(other_store, bad)
    assert taken.missing_files == (world.file.id,) and taken.files == 0
    with pytest.raises(NotThere, match="not in the data folder"):
        files.file(other_store, world.file.id)


def test_erasing_takes_every_row_and_file_of_the_player_and_of_nobody_else(store):
    world, other = full(store)
    expected = everything(store)
    look = eraser.look(store, world.player.id)
    assert everything(store) == expected, "looking changes nothing"
    told = eraser.erase(store, world.player.id)
    assert told.rows == look.rows and told.files == (world.file.id,)
    for name in (
        "player",
        "ball",
        "session",
        "club",
        "lesson",
        "lesson_drill",
        "drill_score",
        "plan",
        "consent",
    ):
        assert told.rows[name] > 0, name
    after = everything(store)
    assert world.player.id not in json.dumps({k: v for k, v in after.items() if k != "erased"}, default=str)
    assert {row["id"] for row in after["erased"]} == {world.player.id, world.session.id}
    assert players.player(store, other.player.id) == other.player
    assert len(sessions.session_balls(store, other.session.id)) == 3
    with pytest.raises(NotThere):
        eraser.erase(store, world.player.id)
    assert not (store.folder / "files" / world.file.id).exists()


def test_nothing_of_an_erased_player_stays_in_the_file(made_file, tmp_path):
    from firstbounce.services.store import open_store

    with open_store(tmp_path) as store:
        world = World(store, name="Wilhelmina Quandt")
        sentence = b"Left wrist, go easy"
        raw = lambda: b"".join(path.read_bytes() for path in tmp_path.glob(f"{FILE_NAME}*"))  # noqa: E731
        assert sentence in raw() and b"Wilhelmina" in raw()
        eraser.erase(store, world.player.id)
        assert sentence not in raw() and b"Wilhelmina" not in raw()


def test_backups_that_hold_the_player_are_named_and_can_be_cleaned(store):
    world, other = full(store)
    old = backup(store)
    told = eraser.erase(store, world.player.id)
    assert told.backups == (old,) and "copies of the data folder" in " ".join(told.out_of_reach)
    restore(store, old)
    assert [line.id for line in players.player_list(store)] == [other.player.id], (
        "a restore does not bring them back"
    )
    damaged = store.folder / "backups" / "damaged.zip"
    damaged.write_bytes(b"?")
    gone = eraser.erase(store, other.player.id, and_backups=True)
    assert old in gone.backups and gone.not_read == (damaged,)
    with opened_backup(old) as (database, kept_files, _):
        data = database.read_bytes()
        assert other.player.id.encode() not in data and world.player.id.encode() in data
        assert not (kept_files / other.file.id).exists() and (kept_files / world.file.id).exists()
    restore(store, old)


def test_a_name_in_other_texts_is_pointed_out(store):
    world = World(store, name="Wilhelmina")
    other = World(store, name="Tomé")
    greens.add_station(store, replace(world.station, id=new_id(), name="wilhelmina's spot"))
    sessions.save_clinic(store, replace(other.clinic, setup={"names": ["Wilhelmina", "Tomé"]}))
    told = eraser.erase(store, world.player.id)
    assert told.named_in == ("the name of a station (1)", "the set-up of a clinic (1)")


def test_a_plan_that_balls_of_another_session_point_at_goes_with_its_player(store):
    player = a_player()
    players.add_player(store, player)
    plan = a_plan(player)
    kept.keep(store, plan)
    for _ in range(2):
        session = a_session(player, started=NOON)
        sessions.start_session(store, session)
        sessions.log_balls(store, [a_ball(session, plan_id=plan.id)])
    assert eraser.erase(store, player.id).rows["ball"] == 2


def test_a_file_is_kept_under_its_id_whatever_it_is_called(file_store):
    row = files.keep_file(file_store, b"abc", kind="clip", name="../../etc/passwd")
    place = files.file(file_store, row.id)[1]
    assert place.parent == file_store.folder / "files" and place.name == row.id and row.bytes == 3
    files.drop_file(file_store, row.id)
    assert not place.exists() and files.files(file_store, None) == ()
    with pytest.raises(StoreError):
        files.keep_file(file_store, b"abc", kind="clip", name="x", player_id=new_id())
    assert list((file_store.folder / "files").iterdir()) == [], "nothing is left of a file that was not kept"
