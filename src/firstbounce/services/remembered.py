"""The last answers by all that they rest on: the same asked again is not worked out anew."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

Answer = TypeVar("Answer")


class Remembered(Generic[Answer]):
    """At most `most` answers; the one asked for longest ago goes first. Safe for several threads."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._lock = Lock()
        self._kept: OrderedDict[Hashable, Answer] = OrderedDict()

    def find(self, key: Hashable) -> Answer | None:
        """The answer kept under the key, if it is still there."""
        with self._lock:
            if key in self._kept:
                self._kept.move_to_end(key)
            return self._kept.get(key)

    def keep(self, key: Hashable, answer: Answer) -> None:
        """Keep an answer until newer ones push it out."""
        with self._lock:
            self._kept[key] = answer
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)

    def get(self, key: Hashable, make: Callable[[], Answer]) -> Answer:
        """The answer kept under the key, or the one that `make` gives now. Two that ask at once both work."""
        kept = self.find(key)
        if kept is None:
            kept = make()
            self.keep(key, kept)
        return kept

    def forget(self) -> None:
        """Nothing is kept any more."""
        with self._lock:
            self._kept.clear()
