"""One folder for a run of the tests, which its workers and every process that they start share."""

from __future__ import annotations

import atexit
import os
import shutil
import sys
import tempfile

import pytest
from hypothesis import settings

# The first process of the run makes the folder and takes it away; workers find its name in their environment.
if "FIRSTPUSH_TEST_RUN" not in os.environ:
    run = tempfile.mkdtemp(prefix="firstpush-tests-")
    atexit.register(shutil.rmtree, run, ignore_errors=True)
    os.environ["FIRSTPUSH_TEST_RUN"] = run

    # Where Python is told to write no bytecode, as in many containers, each server and command that a test starts would
    # compile the program and its libraries anew: a second or more of every start.  Now the first one compiles, in that
    # folder, and nothing is written beside the sources.
    if sys.dont_write_bytecode:
        sys.pycache_prefix = os.path.join(run, "compiled")
        os.environ["PYTHONPYCACHEPREFIX"] = sys.pycache_prefix
        os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
        sys.dont_write_bytecode = False

# How long an example takes says how busy the computer is, not whether the program is right.
settings.register_profile("tests", deadline=None)
settings.load_profile("tests")

LONGEST = (
    "test_court_kills.py",
    "test_court_machine.py",
    "test_court_page.py",
    "test_court_page_access.py",
    "test_demo_command.py",
    "test_eight_weeks.py",
    "test_journey.py",
    "test_loop_in_a_browser.py",
    "test_docs.py",
)
"""Files that keep a worker for minutes: begun first, so that no worker does the last of them alone."""


def pytest_configure(config: pytest.Config) -> None:
    """Let files be handed out in the order of `pytest_collection_modifyitems`."""
    # Left to itself, xdist begins with the files that have most tests, and ends with those that have one: the longest.
    if hasattr(config.option, "loadscopereorder"):
        config.option.loadscopereorder = False


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with the files that take longest; all else stays in its order."""
    items.sort(key=lambda item: LONGEST.index(item.path.name) if item.path.name in LONGEST else len(LONGEST))
