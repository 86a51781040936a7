"""What all tests share: the browser where there is one, a folder for its pictures."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest

collect_ignore = ["project/right_values.py"]  # no tests in it, and seconds to import: collecting stays quick
ROOT = Path(__file__).parent.parent
REQUIRED = "PRESSINGLIB_REQUIRE_BROWSER"
QUIET = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
]


def chromium_path() -> str | None:
    """The first Chromium (or a browser built on it) that this machine can start by name."""
    names = ("chromium", "chromium-browser", "google-chrome", "chrome")
    return next((found for found in map(shutil.which, names) if found), None)


def pytest_runtest_setup(item: pytest.Item) -> None:
    if item.get_closest_marker("browser") and chromium_path() is None:
        missing = "no Chromium on this machine: install it (Debian: apt-get install chromium) to run this test"
        if os.environ.get(REQUIRED) == "1":
            pytest.fail(f"{missing}; {REQUIRED}=1 asks for it", pytrace=False)
        pytest.skip(missing)


@pytest.fixture(scope="session")
def screenshots() -> Path:
    """Where browser tests leave their pictures: a folder that git ignores."""
    folder = Path(os.environ.get("PRESSINGLIB_SCREENSHOTS", ROOT / ".screenshots"))
    folder.mkdir(parents=True, exist_ok=True)
    return folder
