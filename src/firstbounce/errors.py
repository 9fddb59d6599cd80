"""Every error that Firstbounce raises on purpose, in one tree.

- FirstbounceError
    - ParameterError: a value that makes no sense where it stands
        - OutOfRange: a value outside the range in which a law may be used
    - CannotEstimate: the balls or readings do not say enough
    - CannotPlan: no plan can be made for this station
    - FileFaults: a file cannot be read; lists every fault found
    - VideoError: a clip or its landmarks cannot be used
    - StoreError: the records cannot be used as asked; nothing was written
        - NotThere: no record with this id
        - NotAllowed: a consent is missing or has ended
        - StoreBusy: another program is writing; try again
    - Cancelled: the person stopped a long piece of work

Each message is one clear sentence for the person who meets it: what is wrong, where, what to do.
"""

from __future__ import annotations

from dataclasses import dataclass


class FirstbounceError(Exception):
    """Base of every error raised on purpose."""


class ParameterError(FirstbounceError, ValueError):
    """A value makes no sense where it stands."""


class OutOfRange(ParameterError):
    """A value lies outside the range in which a law may be used."""


class CannotEstimate(FirstbounceError):
    """The balls or readings do not say enough for an estimate."""


class CannotPlan(FirstbounceError):
    """No plan can be made for this station."""


class VideoError(FirstbounceError):
    """A clip or its landmarks cannot be used."""


class StoreError(FirstbounceError):
    """The records cannot be used as asked; nothing was written."""


class NotThere(StoreError):
    """No record with this id."""


class NotAllowed(StoreError):
    """A consent that this needs is missing or has ended."""


class StoreBusy(StoreError):
    """Another program is writing to the records; nothing was written, try again."""


class Cancelled(FirstbounceError):
    """The person stopped a long piece of work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FileFault:
    """One fault of one file: where it is, what is wrong and what is allowed."""

    line: int | None  #: 1 for the first line; None when the fault is of the whole file
    column: str | None  #: column of a table or dotted key of a TOML file
    problem: str  #: what is wrong and what is allowed, one sentence

    def __str__(self) -> str:
        where = ", ".join(
            part
            for part in (
                f"line {self.line}" if self.line is not None else "",
                f"column {self.column}" if self.column is not None else "",
            )
            if part
        )
        return f"{where}: {self.problem}" if where else self.problem


class FileFaults(FirstbounceError):
    """A file cannot be used; every fault found is listed and nothing was read from it."""

    def __init__(self, path: object, faults: list[FileFault]) -> None:
        self.path = str(path)
        self.faults = tuple(faults)
        lines = "\n".join(f"  {fault}" for fault in self.faults)
        many = "1 fault" if len(self.faults) == 1 else f"{len(self.faults)} faults"
        super().__init__(f"{self.path}: {many}, nothing was read.\n{lines}")
