"""The command serve, TLS with the laptop's own authority, and what is kept from start to start."""

import signal
import socket
import ssl
import subprocess
import sys
from pathlib import Path

import httpx
import pytest
from click.testing import CliRunner
from web_server import HOST, PASSPHRASE, free_port

from firstbounce.cli.app import app
from firstbounce.errors import ParameterError
from firstbounce.services import kept
from firstbounce.services.store import open_store
from firstbounce.web.run import (
    AUTHORITY,
    SECRET,
    own_names,
    passphrase_hash,
    secret_of,
    serve_here,
    serve_phone,
    set_passphrase,
)
from firstbounce.web.run import PASSPHRASE as KEPT_PASSPHRASE
from firstbounce.web.trust import identity

PHONE = """
import sys
from pathlib import Path
from firstbounce.services.store import open_store
from firstbounce.web.run import serve_phone, set_passphrase
with open_store(Path(sys.argv[1])) as store:
    set_passphrase(store, sys.argv[3])
    say = lambda told: print("ready", [one.url for one in told], flush=True)
    try:
        serve_phone(store, int(sys.argv[2]), say, names=("coach.test",), host="127.0.0.1")
    except KeyboardInterrupt:
        pass
"""


def started(words, sign):
    """A process that has said so; stop it with `stopped`."""
    process = subprocess.Popen(
        [sys.executable, *words], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )
    said = []
    while True:
        line = process.stdout.readline()
        said.append(line)
        if sign in line:
            return process, said
        assert line, f"it stopped: {said}"


def stopped(process, said=()):
    process.send_signal(signal.SIGINT)
    rest = process.communicate(timeout=30)[0]
    assert "Traceback" not in rest, rest
    if said:
        said.append(rest)
    return process.returncode


def listening_at(port):
    """Addresses of this machine at which somebody listens on a port (Linux's own table)."""
    lines = (
        Path("/proc/net/tcp").read_text().splitlines()[1:]
        + Path("/proc/net/tcp6").read_text().splitlines()[1:]
    )
    local = [line.split()[1].split(":") for line in lines if line.split()[3] == "0A"]
    found = [bytes.fromhex(address)[::-1] for address, at in local if int(at, 16) == port]
    return {".".join(map(str, one)) if len(one) == 4 else one.hex() for one in found}


@pytest.mark.slow
def test_serve_demo_answers_on_loopback_and_stops_when_told():
    port = free_port()
    words = ["-m", "firstbounce", "serve", "--demo", "--no-browser", "--port", str(port)]
    process, said = started(words, "Stop with")
    try:
        assert said[0].startswith(f"http://127.0.0.1:{port}/")
        listed = httpx.get(f"http://127.0.0.1:{port}/")
        assert listed.status_code == 200 and "Ada Quill" in listed.text and "server" not in listed.headers
        assert listening_at(port) == {"127.0.0.1"}
        httpx.get(f"http://127.0.0.1:{port}/players/nobody?name=Ada+Quill")
        httpx.post(
            f"http://127.0.0.1:{port}/api/players", json={"name": "Ada Quill", "level": "no such level"}
        )
    finally:
        assert stopped(process, said) in (0, 130)  # 130: stopped by the person
    assert "Quill" not in "".join(said), "what the server says names nobody"


@pytest.mark.slow
def test_a_phone_that_trusts_the_authority_signs_in_over_tls(tmp_path):
    port = free_port()
    process, _ = started(["-c", PHONE, str(tmp_path / "data"), str(port), PASSPHRASE], "ready")
    try:
        plain = f"http://127.0.0.1:{port}"
        told = httpx.get(f"{plain}/trust").text
        assert f"https://coach.test:{port + 1}/" in told and "<svg" in told
        authority = httpx.get(f"{plain}/trust/authority.crt").text
        context = ssl.create_default_context(cadata=authority)
        with httpx.Client(verify=context, base_url=f"https://localhost:{port + 1}") as phone:
            assert phone.get("/").headers["location"] == "/sign-in"
            answer = phone.post("/api/sign-in", json={"passphrase": PASSPHRASE})
            assert "Secure" in answer.headers["set-cookie"] and "__Host-" in answer.headers["set-cookie"]
            assert phone.get("/").status_code == 200
        with pytest.raises(httpx.ConnectError):
            httpx.get(f"https://localhost:{port + 1}/")  # nobody else vouches for it
        with pytest.raises(OSError):
            socket.create_connection(
                ("127.0.0.2", port), timeout=2
            ).close()  # this test binds one address only
    finally:
        stopped(process)


def test_the_authority_of_yesterday_vouches_today_and_its_key_is_a_secret(tmp_path):
    first = identity(None, (HOST, "192.0.2.20"))
    again = identity(first.kept, ("other.local",))
    assert again.authority == first.authority and again.chain != first.chain
    with open_store(tmp_path / "data") as store:
        kept.set_setting(store, AUTHORITY, first.kept, secret=True)
        set_passphrase(store, PASSPHRASE)
        assert secret_of(store) == secret_of(store) and len(secret_of(store)) == 64
        assert not {SECRET, KEPT_PASSPHRASE, AUTHORITY} & set(kept.settings(store))
        assert PASSPHRASE not in passphrase_hash(store)


def test_there_is_no_phone_without_a_passphrase(store):
    with pytest.raises(ParameterError, match="passphrase"):
        serve_phone(store, free_port(), lambda told: None, names=(HOST,), host="127.0.0.1")


def test_a_port_that_is_taken_is_said(store):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(ParameterError, match="--port"):
            serve_here(store, taken.getsockname()[1], lambda told: None)


def test_names_of_this_machine_hold_no_loopback():
    assert own_names()[0].endswith(".local")
    assert not any(name.startswith("127.") for name in own_names())


def test_demo_and_records_do_not_go_together():
    result = CliRunner().invoke(app, ["serve", "--demo", "--data", "somewhere"])
    assert result.exit_code == 2 and "--demo" in result.output
