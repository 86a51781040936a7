"""A server of its own for the browser tests: this machine only, a free port, a random token, a folder to spoil.

It serves JupyterLab, Notebook 7 and Voila alike.
"""

from __future__ import annotations

import json
import os
import secrets
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from json import JSONDecodeError
from pathlib import Path
from typing import Any
from urllib.request import Request, urlopen

import nbformat
import pytest

from pressinglib.lab import settings
from tests.browser.open_board import SOON_MS
from tests.conftest import QUIET, chromium_path

NOTEBOOKS = Path(__file__).parents[2] / "notebooks"
PROJECTOR = {"width": 1280, "height": 720}
IDLE = "() => window.jupyterapp?.shell.currentWidget?.context?.sessionContext.session?.kernel?.status == 'idle'"
IN_LAB = "() => Boolean(window.jupyterapp?.commands.hasCommand('docmanager:open'))"
OPEN_ALONE = """async name => {
  await jupyterapp.restored
  for (const open of [...jupyterapp.shell.widgets('main')]) {
    if (open.context) open.context.model.dirty = false
    open.close()
  }
  await jupyterapp.commands.execute('docmanager:open', { path: name })
}"""
RUN_ALL = "() => jupyterapp.commands.execute('notebook:run-all-cells')"
VOILAS = ("fontawesome", "mathjax")  # what Voila itself fetches from outside, for its own pages
# No news from outside, and no file saved behind a test that writes it anew.
SETTINGS = {"apputils-extension/notification": {"fetchNews": "false", "checkForUpdates": False},
            "docmanager-extension/plugin": {"autosave": False}}


@dataclass(frozen=True)
class Lab:
    """Where the server answers, its token, and the folder it serves."""

    url: str
    token: str
    folder: Path

    def write(self, name: str, *cells: str) -> None:
        """A notebook of these code cells."""
        notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in cells])
        notebook.metadata.kernelspec = {"name": "python3", "display_name": "Python 3"}  # or the page asks for one
        nbformat.write(notebook, self.folder / name)

    def open(self, page: Any, name: str, host: str = "lab") -> None:
        """Open a notebook on a page and run it, in "lab", "notebook" or "voila"; nothing else is open or answered."""
        self.forget()
        shutil.rmtree(self.folder / "answers", ignore_errors=True)  # a block begins with what was answered last
        if host == "voila":
            page.goto(f"{self.url}voila/render/{name}?token={self.token}")
        elif host == "notebook":
            page.goto(f"{self.url}notebooks/{name}?token={self.token}")
            page.locator(".jp-Notebook-ExecutionIndicator[data-status=idle]").wait_for()
            for item in ("Run", "Run All Cells"):
                page.get_by_role("menuitem", name=item, exact=True).click()
        else:
            if getattr(page, "spoiled", False) or not page.evaluate(IN_LAB):
                page.spoiled = False
                page.goto(f"{self.url}lab?token={self.token}&reset")
                page.wait_for_function(IN_LAB)
            page.evaluate(OPEN_ALONE, name)
            page.wait_for_function(IDLE)
            page.evaluate(RUN_ALL)

    def forget(self) -> None:
        """End all kernels: a server keeps them after their page is closed."""
        for session in json.load(self._ask("GET", "sessions")):
            self._ask("DELETE", f"sessions/{session['id']}")

    def _ask(self, method: str, what: str) -> Any:
        headers = {"Authorization": f"token {self.token}"}
        return urlopen(Request(f"{self.url}api/{what}", headers=headers, method=method))


@pytest.fixture(scope="package")
def chromium() -> Iterator[Any]:
    """A headless browser (a Playwright `Browser`).

    Ended with the last of these tests: while Playwright works, an event loop seems to run in every other test.
    """
    from playwright.sync_api import expect, sync_playwright

    expect.set_options(timeout=SOON_MS)
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium_path(), args=QUIET, timeout=SOON_MS)
        yield browser
        browser.close()


@pytest.fixture(scope="package")
def desk(chromium: Any) -> Iterator[Any]:
    """The page of all notebooks, opened once: JupyterLab stays on it, and its notebooks come and go."""
    page = chromium.new_context(viewport=PROJECTOR).new_page()
    page.set_default_timeout(SOON_MS)
    page.on("pageerror", lambda error: page.failures.append(str(error)))
    page.on("request", lambda request: "127.0.0.1" not in request.url and request.url.startswith("http")
            and not any(own in request.url for own in VOILAS) and page.strangers.append(request.url))
    yield page
    page.context.close()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Iterator[Any]:
    """What a failed test leaves open stands in nobody's way: the next notebook is opened on a page loaded anew."""
    report = yield
    if report.failed and "desk" in getattr(item, "funcargs", {}):
        item.funcargs["desk"].spoiled = True
    return report


@pytest.fixture
def page(desk: Any) -> Iterator[Any]:
    """The page, at the size of a projector; it collects what fails on it and whom it asks beside this machine."""
    desk.failures, desk.strangers = [], []
    yield desk
    desk.mouse.up()
    desk.set_viewport_size(PROJECTOR)


@pytest.fixture(scope="package")
def lab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    with served(tmp_path_factory.mktemp("lab")) as server:
        yield server


@contextmanager
def served(home: Path, as_lessons: bool = False) -> Iterator[Lab]:
    """A server on a copy of the lessons, all it keeps in a folder of its own; `as_lessons`: as their command has it."""
    lessons = home / "lessons"
    shutil.copytree(NOTEBOOKS, lessons)  # a page saves what it runs: never into the project
    told = settings(lessons / "00") if as_lessons else [
        "--ServerApp.ip=127.0.0.1", f"--ServerApp.root_dir={lessons}", "--ServerApp.allow_root=True"]
    command = [sys.executable, "-m", "jupyterlab", "--no-browser", "--ServerApp.port=0", *told,
               "--KernelManager.shutdown_wait_time=0.1", "--LabApp.expose_app_in_browser=True"]
    with (home / "server.log").open("w") as log, subprocess.Popen(command, env=_environment(home), stdout=log,
                                                                     stderr=subprocess.STDOUT) as process:
        try:
            yield _answering(process, home, lessons)
        finally:
            process.terminate()
            with suppress(subprocess.TimeoutExpired):
                process.wait(timeout=30)
            process.kill()


def _environment(home: Path) -> dict[str, str]:
    """Nothing of the user's own settings, and a token that no command line shows."""
    for name, values in SETTINGS.items():
        settings = home / "settings" / "@jupyterlab" / f"{name}.jupyterlab-settings"
        settings.parent.mkdir(parents=True)
        settings.write_text(json.dumps(values))
    places = {"JUPYTER_CONFIG_DIR": "config", "JUPYTER_RUNTIME_DIR": "runtime", "JUPYTER_DATA_DIR": "data",
              "JUPYTERLAB_SETTINGS_DIR": "settings", "JUPYTERLAB_WORKSPACES_DIR": "workspaces", "IPYTHONDIR": "ipython"}
    return {**os.environ, **{name: str(home / place) for name, place in places.items()},
            "JUPYTER_TOKEN": secrets.token_hex(24), "JUPYTER_PREFER_ENV_PATH": "1"}


def _answering(process: subprocess.Popen[Any], home: Path, lessons: Path) -> Lab:
    """The server, once it has said where it is and somebody answers there: its note is written before it listens."""
    end = time.monotonic() + SOON_MS / 1000
    while time.monotonic() < end and process.poll() is None:
        for note in (home / "runtime").glob("jpserver-*.json"):
            with suppress(JSONDecodeError, OSError):  # half written, or nobody there yet
                known = json.loads(note.read_text())
                urlopen(f"{known['url']}api", timeout=SOON_MS / 1000).close()
                return Lab(known["url"], known["token"], lessons)
        time.sleep(0.1)
    pytest.fail("JupyterLab did not start:\n" + (home / "server.log").read_text()[-2000:])
