"""What every run of pytest knows, also one of the examples or the notebooks: `--full`, and how a whole run is shared.

Without `--full` what is marked `full` is left out, seeds and random examples are few, and the tests take minutes.
"""

from __future__ import annotations

import os
import time
from collections.abc import Generator
from typing import Any

import pytest
from hypothesis import settings

PROCESSES = 3  # on two processors: one of the three often waits, for a page or a kernel
START_S = time.monotonic()
AIM_MIN = (5, 15)  # of a whole run, without and with --full
FEWER, LEAST = 4, 4  # random examples without --full: a quarter of them, but so many at least
BROWSER = "tests/browser/"
# Dealt out case by case: their cases share nothing, or little.
SPREAD = ("tests/data/test_damage.py", "tests/data/test_kills.py", "tests/teach/test_damaged_files.py",
          "tests/teach/test_exercise.py", "tests/teach/test_widget.py", "tests/teach/test_notebooks_solved.py",
          "tests/teach/test_page_lessons.py", "tests/play/test_any_run.py", "tests/project/test_style.py")
# Begun first, so that no process waits for another at the end.
LONGEST = (BROWSER, "tests/project/test_style.py", "tests/project/test_doors.py", "tests/play/test_any_run.py",
           "tests/play/test_price.py", "tests/teach/test_nothing_lost.py", "tests/teach/test_damaged_files.py",
           "tests/data/", "tests/teach/test_exercise.py", "tests/teach/test_notebooks_solved.py", "notebooks/",
           "tests/teach/", "tests/judge/", "tests/project/")
asked = {"full": False}

# No deadline: a slow machine is not a wrong answer. The same examples every time where nobody watches.
settings.register_profile("desk", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)


def examples(most: int) -> settings:
    """So many random examples with `--full`, else fewer."""
    return settings(max_examples=most if asked["full"] else max(LEAST, most // FEWER))


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--full", action="store_true", help="everything: all seeds and random examples, every lesson in "
                     "the browser and solved, other hosts, lost workers (a quarter of an hour)")


def pytest_configure(config: pytest.Config) -> None:
    asked["full"] = config.getoption("full")
    profile = settings.get_profile("ci" if os.environ.get("CI") else "desk")
    settings.register_profile("this run", profile, max_examples=examples(profile.max_examples).max_examples)
    settings.load_profile("this run")


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_setup(item: pytest.Item) -> None:
    if item.get_closest_marker("full") and not asked["full"]:
        pytest.skip("only with --full")


@pytest.fixture(scope="session")
def full(request: pytest.FixtureRequest) -> bool:
    """Whether everything is asked for."""
    return bool(request.config.getoption("full"))


# -- a run of everything is shared by three processes; a part of it, or with `-n 0`, is run by one ---------------------


@pytest.hookimpl(wrapper=True)
def pytest_cmdline_main(config: pytest.Config) -> Generator[None, Any, Any]:
    everything = config.args_source is pytest.Config.ArgsSource.TESTPATHS and not config.getoption("usepdb")
    worker = hasattr(config, "workerinput")  # it runs by itself what it is given
    if everything and not worker and config.getoption("numprocesses", 0) is None:
        config.option.numprocesses = PROCESSES
    return (yield)


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    """How long a whole run took beside what it may take: printed, and nothing that a slow machine could fail."""
    if config.args_source is pytest.Config.ArgsSource.TESTPATHS and not config.getoption("collectonly"):
        took_min = (time.monotonic() - START_S) / 60
        aim = f"the aim is {AIM_MIN[asked['full']]} on two quiet processors"
        terminalreporter.write_line(f"{took_min:.1f} minutes; {aim}.")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    items.sort(key=lambda item: next((k for k, path in enumerate(LONGEST) if item.nodeid.startswith(path)), 99))


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """A file stays in one process, with what it has set up; all of the browser in one, with its server."""
    from xdist.scheduler import LoadScopeScheduling

    class ByFile(LoadScopeScheduling):
        def _split_scope(self, nodeid: str) -> str:
            file, _, test = nodeid.partition("::")
            return BROWSER if file.startswith(BROWSER) else test.partition("[")[2] if file in SPREAD else file

    config.option.loadscopereorder = False
    return ByFile(config, log)
