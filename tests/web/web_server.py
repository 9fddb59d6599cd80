"""A server for tests, what it is made of, and Chromium's arguments."""

import contextlib
import socket
import threading
import time

import uvicorn

SECRET = b"a secret for tests only, 32 bytes and more"
PASSPHRASE = "red pencil on squared paper"
HOST = "coach.test"  # a made-up name that Chromium maps to loopback: no secure context
CHROMIUM = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    f"--host-resolver-rules=MAP {HOST} 127.0.0.1",
]


class Server:
    """uvicorn on a port of loopback; stops and starts again on the same port, as a laptop does."""

    def __init__(self, make_app, port=None):
        self.make_app = make_app
        self.socket_port = port or free_port()
        self.running = None

    @property
    def url(self):
        return f"http://127.0.0.1:{self.socket_port}"

    @property
    def plain_url(self):
        """Not a secure context."""
        return f"http://{HOST}:{self.socket_port}"

    def start(self):
        config = uvicorn.Config(
            self.make_app(),
            host="127.0.0.1",
            port=self.socket_port,
            log_level="warning",
            access_log=False,
            timeout_graceful_shutdown=1,
        )
        server = uvicorn.Server(config)
        thread = threading.Thread(target=server.run, daemon=True)
        thread.start()
        deadline = time.monotonic() + 20
        while not server.started:
            if time.monotonic() > deadline or not thread.is_alive():
                raise RuntimeError("the server did not start")
            time.sleep(0.02)
        self.running = (server, thread)
        return self

    def stop(self):
        if self.running is None:
            return
        server, thread = self.running
        server.should_exit = True
        thread.join(10)
        assert not thread.is_alive()
        self.running = None


def free_port():
    with contextlib.closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]
