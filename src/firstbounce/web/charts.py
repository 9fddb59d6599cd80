"""Charts that were drawn since the server started: a page shows one at once, or asks for it."""

from __future__ import annotations

import threading
from collections import OrderedDict

MOST = 200  #: pictures remembered, some 30 kB each
_drawn: OrderedDict[str, str] = OrderedDict()
_lock = threading.Lock()


def drawn(key: str) -> str:
    """The picture with this key; empty when it was not drawn yet."""
    with _lock:
        return _drawn.get(key, "")


def remember(key: str, picture: str) -> None:
    """Keep a picture until newer ones push it out."""
    with _lock:
        _drawn[key] = picture
        while len(_drawn) > MOST:
            _drawn.popitem(last=False)
