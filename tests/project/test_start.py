"""The command that opens the lessons: what it copies, what it leaves alone, and whom it serves."""

from __future__ import annotations

import re
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from pressinglib import __main__ as start
from pressinglib import lab

ROOT = Path(__file__).parents[2]
ADDRESS = re.compile(r"http://\S+token=\S+")


@pytest.fixture
def packaged(tmp_path: Path) -> Path:
    """Notebooks as a wheel carries them."""
    folder = tmp_path / "package" / "_notebooks"
    (folder / "data").mkdir(parents=True)
    (folder / "00_first.ipynb").write_text("first")
    (folder / "data" / "frames.csv").write_text("1")
    return folder


def test_a_clone_is_opened_in_place() -> None:
    assert start.lessons_folder() == ROOT / "notebooks"
    assert start.first_lesson(ROOT / "notebooks").name == "00_a_full_press_in_five_minutes.ipynb"


def test_packaged_lessons_are_copied_to_where_the_user_stands(
    packaged: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for module in (start, lab):
        monkeypatch.setattr(module, "HOME", packaged.parent)
    monkeypatch.chdir(tmp_path)
    folder = start.lessons_folder()
    assert folder == tmp_path / "pressinglib-lessons"
    assert (folder / "data" / "frames.csv").read_text() == "1"
    assert start.first_lesson(folder).read_text() == "first"


def test_what_a_learner_changed_is_never_overwritten(packaged: Path, tmp_path: Path) -> None:
    start.lay_out(packaged, tmp_path)
    (tmp_path / "00_first.ipynb").write_text("my answer")
    (tmp_path / "data" / "frames.csv").unlink()
    start.lay_out(packaged, tmp_path)
    assert (tmp_path / "00_first.ipynb").read_text() == "my answer"
    assert (tmp_path / "data" / "frames.csv").read_text() == "1"


def test_a_copy_that_was_broken_off_is_not_taken_for_a_lesson(
    packaged: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full_disk(source: Path, target: Path) -> None:
        target.write_text("fir")
        raise OSError("no space left")

    with monkeypatch.context() as broken, pytest.raises(OSError, match="no space left"):
        broken.setattr(start.shutil, "copyfile", full_disk)
        start.lay_out(packaged, tmp_path / "mine")
    assert not (tmp_path / "mine" / "00_first.ipynb").exists()
    assert start.first_lesson(start.lay_out(packaged, tmp_path / "mine")).read_text() == "first"


def test_no_lesson_is_said_in_words(tmp_path: Path) -> None:
    with pytest.raises(SystemExit, match="No lesson 00_"):
        start.first_lesson(tmp_path)


def test_without_jupyterlab_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "jupyterlab.labapp", None)
    with pytest.raises(SystemExit, match=r"pip install 'pressinglib\[lessons\]'"):
        start.main([])


def test_to_present_the_first_lesson_opens_without_code(monkeypatch: pytest.MonkeyPatch) -> None:
    from jupyterlab.labapp import LabApp

    asked: list[str] = []
    monkeypatch.setattr(LabApp, "launch_instance", asked.extend)
    start.main(["--present", "--no-browser"])
    assert "--LabApp.default_url=/voila/render/00_a_full_press_in_five_minutes.ipynb" in asked
    assert {"--ServerApp.ip=127.0.0.1", "--no-browser"} <= {*asked}
    monkeypatch.setattr(start, "find_spec", lambda name: None)
    with pytest.raises(SystemExit, match="pip install voila"):
        start.main(["--present"])


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address at which a running JupyterLab says that it serves the first lesson."""
    log = tmp_path_factory.mktemp("lab") / "log"
    command = [sys.executable, "-m", "pressinglib", "--no-browser", "--port=0"]
    with log.open("w") as out, subprocess.Popen(command, cwd=ROOT, stdout=out, stderr=out) as server:
        try:
            yield spoken_address(log)
        finally:
            server.terminate()


def spoken_address(log: Path, patience_s: float = 120) -> str:
    """Wait until the server has written its address and somebody answers there: it writes before it listens."""
    end = time.monotonic() + patience_s
    while time.monotonic() < end:
        if found := ADDRESS.search(log.read_text()):
            with suppress(OSError), urllib.request.urlopen(found[0], timeout=patience_s):
                return found[0]
        time.sleep(0.1)
    raise AssertionError(log.read_text())


def test_the_first_lesson_is_served_on_this_machine_alone(address: str) -> None:
    assert re.match(r"http://127\.0\.0\.1:\d+/lab/tree/00_a_full_press_in_five_minutes\.ipynb\?token=\w{32,}$", address)
    with urllib.request.urlopen(address) as answer:
        assert answer.status == 200


def test_nothing_is_served_without_the_token(address: str) -> None:
    place, _, _ = address.partition("/lab/")
    with pytest.raises(urllib.error.HTTPError, match="403") as refused:
        urllib.request.urlopen(f"{place}/api/contents")
    refused.value.close()


def test_an_error_of_ours_is_a_sentence_in_a_notebook(capsys: pytest.CaptureFixture[str]) -> None:
    """A coach who mistypes a path reads what to do, and no lines of code."""
    from IPython.core.interactiveshell import InteractiveShell

    shell = InteractiveShell()
    shell.run_cell("from pressinglib import load_situation\nload_situation('no such scene.json')")
    said = capsys.readouterr().out
    assert "got no such file. Check the name and the folder." in said
    assert "Traceback" not in said and "line" not in said
