"""The passphrase: Argon2, and a limit on how often it may be tried."""

from __future__ import annotations

import threading

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from firstbounce.errors import ParameterError

SHORTEST = 8  #: letters of a passphrase
LONGEST = 200
TRIES = 5  #: wrong ones before a pause
FIRST_PAUSE_S = 30.0  #: doubles with each further wrong one
LONGEST_PAUSE_S = 3600.0
TRIES_OF_ALL = 50  #: wrong ones of all addresses together before everybody waits
REMEMBERED = 1000  #: addresses kept


def hash_of(passphrase: str) -> str:
    """The Argon2 hash of a new passphrase. ParameterError when it is too short to protect anything."""
    if not SHORTEST <= len(passphrase) <= LONGEST:
        raise ParameterError(f"A passphrase needs {SHORTEST} to {LONGEST} letters, got {len(passphrase)}.")
    return PasswordHasher().hash(passphrase)


def matches(hashed: str, passphrase: str) -> bool:
    """Whether this is the passphrase."""
    try:
        return PasswordHasher().verify(hashed, passphrase[: LONGEST + 1])
    except (VerificationError, InvalidHashError):
        return False


class Tries:
    """Counts wrong passphrases by address and together; a right one clears its address only."""

    def __init__(self) -> None:
        self._wrong: dict[str, tuple[int, float]] = {}
        self._all: tuple[int, float] = (0, 0.0)
        self._lock = threading.Lock()

    def wait_s(self, address: str, now: float) -> float:
        """Seconds until the next try is allowed; 0 when it is."""
        return max(
            _left(*self._wrong.get(address, (0, 0.0)), TRIES, now), _left(*self._all, TRIES_OF_ALL, now)
        )

    def take(self, address: str, now: float) -> float:
        """Seconds until the next try is allowed; 0 when this one is, and then it counts as wrong already.

        Asked and counted in one step, so that many at once gain nothing.
        """
        with self._lock:
            wait = self.wait_s(address, now)
            if wait == 0:
                self._count(address, now)
            return wait

    def _count(self, address: str, now: float) -> None:
        count = self._wrong.pop(address, (0, 0.0))[0]
        self._wrong[address] = (count + 1, now)
        self._all = (self._all[0] + 1, now)
        while len(self._wrong) > REMEMBERED:
            del self._wrong[next(iter(self._wrong))]

    def right(self, address: str) -> None:
        """Note that the last one was right after all."""
        with self._lock:
            count = self._wrong.pop(address, (0, 0.0))[0]
            self._all = (max(self._all[0] - count, 0), self._all[1])


def _left(count: int, last: float, allowed: int, now: float) -> float:
    if count < allowed:
        return 0.0
    pause = min(FIRST_PAUSE_S * 2.0 ** min(count - allowed, 20), LONGEST_PAUSE_S)
    return max(0.0, last + pause - now)
