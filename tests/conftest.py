"""Settings of the whole suite."""

import os

import pytest
from hypothesis import settings

# No deadline: a first call may compile a kernel, and shared machines pause.
settings.register_profile("firstbounce", deadline=None)
settings.load_profile("firstbounce")

#: CI installs the browser, the database server, the landmark model and the bodies itself (.ci/run).
IN_CI = os.environ.get("CI", "").lower() in ("true", "1")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    """A test that would be skipped in CI fails there."""
    return _not_skipped((yield))


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector):
    """The same for a whole module that asks for something that is not there."""
    return _not_skipped((yield))


def _not_skipped(report):
    if IN_CI and report.skipped and not hasattr(report, "wasxfail"):
        reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else report.longrepr
        report.outcome = "failed"
        report.longrepr = (
            f"In CI nothing is skipped; make system model bodies bring what this needs. {reason}"
        )
    return report
