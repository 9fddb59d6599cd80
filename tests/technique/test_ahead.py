"""Pictures made ahead in a thread of their own: same order, faults in their place, nothing left running."""

import threading
import time

import pytest

from firstbounce.technique.ahead import ROOM, ahead


class Source:
    """Counts up, notes how far it has come and whether it was closed."""

    def __init__(self, count=1000, fault_at=None):
        self.made, self.closed, self._fault_at, self._count = 0, False, fault_at, count

    def items(self):
        try:
            for number in range(self._count):
                if number == self._fault_at:
                    raise OSError("the card was pulled out")
                self.made = number + 1
                yield number
        finally:
            self.closed = True


def threads():
    return threading.active_count()


def test_everything_comes_in_its_order_and_the_thread_ends():
    before = threads()
    source = Source(200)
    with ahead(source.items()) as items:
        assert list(items) == list(range(200))
    assert source.closed and threads() == before


def test_no_more_than_the_room_is_made_ahead():
    source = Source()
    with ahead(source.items()) as items:
        assert next(items) == 0
        time.sleep(0.3)
        assert 2 <= source.made <= ROOM + 2


def test_a_fault_comes_after_the_items_before_it():
    found = []
    with pytest.raises(OSError, match="pulled out"), ahead(Source(fault_at=7).items()) as items:
        for item in items:
            found.append(item)
    assert found == list(range(7))


def test_leaving_early_closes_the_source_and_ends_the_thread():
    before, source = threads(), Source()
    with pytest.raises(KeyboardInterrupt), ahead(source.items()) as items:
        next(items)
        raise KeyboardInterrupt
    assert source.closed and threads() == before


def test_an_empty_source_is_empty():
    with ahead(iter([])) as items:
        assert list(items) == []
