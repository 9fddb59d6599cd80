"""The commands on the records, as a person types them."""

import json
import zipfile

import pytest
from click.testing import CliRunner
from invented import World, a_ball

from firstbounce.cli.app import app
from firstbounce.services import players, sessions
from firstbounce.services.store import new_id, open_store


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.delenv("FIRSTBOUNCE_DATABASE", raising=False)
    monkeypatch.setenv("FIRSTBOUNCE_DATA", str(tmp_path))
    monkeypatch.chdir(tmp_path)

    def go(*words, code=0, answer=None):
        result = CliRunner().invoke(app, [str(word) for word in words], input=answer)
        assert result.exit_code == code, result.output + result.stderr
        assert "Traceback" not in result.output + result.stderr
        return result

    return go


@pytest.fixture
def world(made_file, tmp_path):
    (tmp_path / made_file.name).write_bytes(made_file.read_bytes())
    with open_store(tmp_path) as store:
        return World(store)


def read(tmp_path):
    return open_store(tmp_path)


def test_back_up_change_and_restore(run, world, tmp_path):
    said = run("backup", "--json").stdout
    path = json.loads(said)["path"]
    with read(tmp_path) as store:
        sessions.log_balls(store, [a_ball(world.session, 400)])
    assert "restore" not in run("restore", path, code=1, answer="n\n").stdout
    with read(tmp_path) as store:
        assert players.ball_count(store, world.player.id) == 6
    told = run("restore", path, answer="y\n").stdout
    assert "what was there before is in" in told
    with read(tmp_path) as store:
        assert players.ball_count(store, world.player.id) == 5
    assert run("backup", tmp_path / "mine.zip").stdout.startswith(f"wrote {tmp_path / 'mine.zip'}")
    shape = json.loads(run("restore", tmp_path / "mine.zip", "--yes", "--json").stdout)
    assert shape["rows"]["player"] == 1 and shape["erased_again"] == []


def test_export_and_import_by_the_players_name(run, world, tmp_path):
    told = json.loads(run("export", "mine.zip", "--player", "ines k", "--json").stdout)
    assert told["rows"]["ball"] == 8 and told["files"] == 1
    other = ("--data", tmp_path / "other")
    assert "8 ball" in run("import", "mine.zip", *other).stdout
    assert run("import", "mine.zip", *other).stdout == "new: nothing; files: 0\n"
    assert "everything.zip" in run("export").stdout
    by_id = run("export", "id.zip", "--player", world.player.id[:8], "--pictures").stdout
    assert "1 player" in by_id and zipfile.is_zipfile(tmp_path / "id.zip")


def test_what_waits_on_a_phone_is_taken_in_once(run, world, tmp_path):
    def entry(seq, body, kind="ball"):
        made = {"made_at": "2026-05-14T10:00:00Z", "offset_min": 120}
        return {"id": new_id(), "v": 1, "kind": kind, "device": "e" * 32, "seq": seq, "body": body, **made}

    ball = {"session_id": world.session.id, "club": "SW", "start_m": [0, -4], "landed_m": [0, 2]}
    rows = [entry(i, ball) for i in range(700)] + [entry(900, {"session_id": new_id()})]
    (tmp_path / "waiting.json").write_text(json.dumps({"v": 1, "rows": rows}))
    for _ in range(2):
        told = json.loads(run("import", "waiting.json", "--json").stdout)
        assert len(told["stored"]) == 700 and [one["id"] for one in told["refused"]] == [rows[-1]["id"]]
    with read(tmp_path) as store:
        assert players.ball_count(store, world.player.id) == 705
        kept = [one.ball.id for one in sessions.session_balls(store, world.session.id)]
        assert kept[-700:] == [row["id"] for row in rows[:700]]
    assert "700 entries of the phone are in the records" in run("import", "waiting.json").stdout


@pytest.mark.parametrize("content", ["{", '{"v": 1}', '{"v": 1, "rows": 3}', '{"v": 9, "rows": [{}]}'])
def test_a_file_that_is_not_a_phones_is_one_sentence(run, world, tmp_path, content):
    (tmp_path / "waiting.json").write_text(content)
    assert "entries that wait on a phone" in run("import", "waiting.json", code=3).stderr


def test_erase_looks_first_asks_and_says_what_it_cannot_reach(run, world, tmp_path):
    run("backup")
    look = run("erase", "Ines K", "--look").stdout
    assert look.startswith("to erase: Ines K\n  rows: ") and "8 ball" in look and "kept there" in look
    run("erase", "Ines K", code=1, answer="n\n")
    told = run("erase", "Ines K", "--and-backups", answer="y\n")
    assert told.stdout.startswith("erased: Ines K") and "erased there, too" in told.stdout
    assert "cannot be erased from here:\n  guides" in told.stdout
    assert "No player is called 'Ines K'; there: none yet." in run("erase", "Ines K", code=2).stderr


def test_two_players_of_one_name_are_asked_for_by_id(run, world, tmp_path):
    with read(tmp_path) as store:
        twin = World(store)
    said = run("erase", "Ines K", "--yes", code=2).stderr
    assert world.player.id[:8] in said and twin.player.id[:8] in said
    shape = json.loads(run("erase", twin.player.id, "--yes", "--json").stdout)
    assert shape["erased"] and shape["rows"]["ball"] == 8
    with read(tmp_path) as store:
        assert [one.id for one in players.every_player(store)] == [world.player.id]


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("restore", "none.zip", "--yes"), 5, "not a whole backup"),
        (("import", "none.zip"), 2, "cannot use none.zip"),
        (("export", "--player", "Nobody"), 2, "No player is called 'Nobody'; there: Ines K."),
        (("backup", "."), 5, "is a folder"),
        (("backup", "--database", "mysql://x/y"), 5, "cannot be used: sqlite or postgresql"),
        (("backup", "--data", "mine.toml"), 2, "is a file"),
    ],
)
def test_a_mistake_is_one_sentence(run, world, tmp_path, words, code, said):
    (tmp_path / "mine.toml").write_text("")
    assert said in run(*words, code=code).stderr
