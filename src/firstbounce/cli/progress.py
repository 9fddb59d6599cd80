"""A progress bar on stderr for work that takes more than a second, on a terminal only."""

from __future__ import annotations

import sys
import threading
from types import TracebackType

import click

PATIENCE_S = 1.0  #: work that ends sooner shows nothing
FIRST_RUN = "the very first run prepares the calculation, about half a minute"


class Progress:
    """Call it with the share done, 0 to 1. Quiet before PATIENCE_S, and when stderr is no terminal."""

    def __init__(self, label: str) -> None:
        self._hidden = not sys.stderr.isatty()
        self._bar = click.progressbar(length=1000, label=label, file=sys.stderr, hidden=self._hidden)
        self._label = label
        self._lock = threading.Lock()
        self._shown = False
        self._done = 0
        self._timer = threading.Timer(PATIENCE_S, self._show)
        self._timer.daemon = True

    def __enter__(self) -> Progress:
        if not self._hidden:
            self._timer.start()
        return self

    def __call__(self, share: float) -> None:
        """Note the share done."""
        with self._lock:
            step = int(1000 * min(max(share, 0.0), 1.0)) - self._done
            if step > 0:
                self._done += step
                if self._shown:
                    self._bar.update(step)

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._timer.cancel()
        with self._lock:
            if self._shown:
                self._bar.render_finish()

    def _show(self) -> None:
        with self._lock:
            self._shown = True
            self._bar.update(self._done)
            self._bar.render_progress()
