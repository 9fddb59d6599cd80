"""The real `firstbounce serve` in a process of its own on loopback: started, stopped, killed, held still."""

from __future__ import annotations

import contextlib
import ctypes
import os
import resource
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

PR_SET_PDEATHSIG = 1
LONGEST_START_S = 120.0
LONGEST_STOP_S = 30.0


def free_port() -> int:
    """A port of loopback that nobody listens on."""
    with contextlib.closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class ServerProcess:
    """`firstbounce serve` over a data folder, and over a database when one is named; the port stays the same.

    `largest_file`: bytes, to make the disk look full. What the process says of failures is kept in `words`.
    """

    def __init__(self, folder: Path, database: str | None = None, *, largest_file: int | None = None) -> None:
        self.folder, self.database, self.largest_file = folder, database, largest_file
        self.port = free_port()
        self.command = ["-m", "firstbounce", "serve", "--no-browser", "--port", str(self.port)]
        self.command += ["--data", str(folder)] + (["--database", database] if database else [])
        self.process: subprocess.Popen[str] | None = None
        self.words: list[str] = []
        self._reader: threading.Thread | None = None

    @property
    def url(self) -> str:
        """Where the pages are."""
        return f"http://127.0.0.1:{self.port}"

    @property
    def pid(self) -> int:
        """Of the running process."""
        assert self.process is not None
        return self.process.pid

    def launch(self) -> None:
        """Start the process and do not wait for it."""
        self.process = subprocess.Popen(
            [sys.executable, *self.command],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            preexec_fn=self._prepare,  # noqa: PLW1509
        )

    def start(self) -> None:
        """Start and wait until it says that it answers."""
        self.launch()
        assert self.process is not None and self.process.stdout is not None
        patience = threading.Timer(LONGEST_START_S, self.process.kill)
        patience.start()
        try:
            for line in self.process.stdout:
                self.words.append(line)
                if "Stop with" in line:
                    break
            else:
                raise RuntimeError(f"the server did not start: {''.join(self.words[-20:])}")
        finally:
            patience.cancel()
        self._reader = threading.Thread(target=self._read, args=(self.process,), daemon=True)
        self._reader.start()

    def kill(self) -> None:
        """kill -9."""
        self._end(signal.SIGKILL)

    def stop(self) -> None:
        """As Ctrl-C does."""
        self._end(signal.SIGINT)

    @contextlib.contextmanager
    def held(self) -> Iterator[None]:
        """The process stands still: what is sent to it waits."""
        os.kill(self.pid, signal.SIGSTOP)
        try:
            yield
        finally:
            os.kill(self.pid, signal.SIGCONT)

    def give_room(self) -> None:
        """Let files grow again."""
        infinity = (resource.RLIM_INFINITY, resource.RLIM_INFINITY)
        resource.prlimit(self.pid, resource.RLIMIT_FSIZE, infinity)

    def memory_mb(self) -> float:
        """Resident memory [MB]."""
        pages = int(Path(f"/proc/{self.pid}/statm").read_text().split()[1])
        return pages * os.sysconf("SC_PAGE_SIZE") / 1e6

    def tracebacks(self) -> int:
        """How often the process met something that nobody had foreseen."""
        return sum(line.startswith("Traceback") for line in self.words)

    def _read(self, process: subprocess.Popen[str]) -> None:
        assert process.stdout is not None
        self.words += process.stdout

    def _end(self, how: signal.Signals) -> None:
        process = self.process
        if process is None:
            return
        if process.poll() is None:
            process.send_signal(how)
        try:
            process.wait(LONGEST_STOP_S)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait(LONGEST_STOP_S)
        if self._reader is not None:
            self._reader.join(LONGEST_STOP_S)
            self._reader = None
        assert process.stdout is not None
        process.stdout.close()
        self.process = None

    def _prepare(self) -> None:
        ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGKILL)
        if self.largest_file is not None:
            # only the soft limit: room is made again from outside
            hard = resource.getrlimit(resource.RLIMIT_FSIZE)[1]
            resource.setrlimit(resource.RLIMIT_FSIZE, (self.largest_file, hard))
