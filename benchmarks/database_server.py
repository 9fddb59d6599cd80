"""A PostgreSQL server for tests: Debian's, in a temporary folder, on a Unix socket, gone with the process."""

import ctypes
import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path

import psycopg

PR_SET_PDEATHSIG = 1
LONGEST_START_S = 60


def server_programs():
    """The folder of PostgreSQL's programs, newest first; None when it is not installed."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/postgres"), key=lambda path: int(path.parts[-3]))
    on_path = shutil.which("postgres")
    return found[-1].parent if found else (Path(on_path).parent if on_path else None)


class DatabaseServer:
    """One server; `url(name)` makes an empty database."""

    def __init__(self, *, durable=False):
        self.durable = durable  #: False: nothing is forced to disk, which only the loss of power could show
        self.bin = server_programs()
        self.folder = Path(tempfile.mkdtemp(prefix="fb-pg-"))
        self.data = self.folder / "data"
        self.user = "postgres" if os.geteuid() == 0 else None
        if self.user:
            shutil.chown(self.folder, self.user)
        self._run(
            [self.bin / "initdb", "-D", self.data, "-A", "trust", "-U", "app", "--no-sync", "-E", "UTF8"]
        )
        self.process = None
        self.start()

    def start(self):
        """Start, and wait until it answers."""
        settings = {"listen_addresses": "", "unix_socket_directories": self.folder, "max_connections": 60}
        if not self.durable:
            settings |= {"fsync": "off", "full_page_writes": "off", "autovacuum": "off"}
        words = [word for name, value in settings.items() for word in ("-c", f"{name}={value}")]
        self.process = subprocess.Popen(
            [self.bin / "postgres", "-D", self.data, *words],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            cwd=self.folder,
            preexec_fn=_die_with_parent,  # noqa: PLW1509
            **self._as_user(),
        )
        end = time.monotonic() + LONGEST_START_S
        while time.monotonic() < end:
            try:
                psycopg.connect(self.dsn("postgres"), connect_timeout=2).close()
                return
            except psycopg.OperationalError:
                time.sleep(0.05)
        raise RuntimeError("PostgreSQL did not start")

    def stop(self, how=signal.SIGINT):
        """Stop: SIGINT ends all sessions at once, SIGQUIT is a crash."""
        self.process.send_signal(how)
        self.process.wait(30)

    def close(self):
        """Stop and leave nothing behind."""
        if self.process and self.process.poll() is None:
            self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)

    def dsn(self, name):
        """How psycopg reaches a database."""
        return f"host={self.folder} user=app dbname={name}"

    def url(self, name):
        """A new database and its URL."""
        self.run("postgres", f'create database "{name}"')
        return f"postgresql://app@/{name}?host={self.folder}"

    def run(self, name, statements):
        """Statements on a database, each by itself."""
        with psycopg.connect(self.dsn(name), autocommit=True) as connection:
            connection.execute(statements)

    def _run(self, words):
        subprocess.run(
            words,
            check=True,
            cwd=self.folder,
            stdout=subprocess.DEVNULL,
            timeout=LONGEST_START_S,
            **self._as_user(),
        )

    def _as_user(self):
        if self.user is None:
            return {}
        return {"user": self.user, "group": pwd.getpwnam(self.user).pw_gid, "extra_groups": []}


def _die_with_parent():
    ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGINT)
