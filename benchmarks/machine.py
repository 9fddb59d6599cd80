"""The machine that an absolute figure came from, in one line."""

from __future__ import annotations

import os
import platform
from importlib.metadata import version
from pathlib import Path


def _processor() -> str:
    info = Path("/proc/cpuinfo")
    if info.exists():
        for line in info.read_text().splitlines():
            if line.startswith("model name"):
                return line.split(":", 1)[1].strip()
    return platform.processor() or platform.machine()


def describe_machine() -> str:
    """Processor, cores, system, Python and the packages that decide the speed."""
    packages = ", ".join(f"{name} {version(name)}" for name in ("numpy", "scipy", "numba"))
    here = f"{_processor()}, {os.cpu_count()} cores, {platform.system()}"
    return f"{here}, Python {platform.python_version()}, {packages}"
