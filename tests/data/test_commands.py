"""The commands, as they are typed: what they write, what they say, and the code they end with."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from pressinglib.__main__ import COMMANDS, HELP, main
from pressinglib.data import Tracking, open_match, read_plans
from pressinglib.field.scene_file import load_scene
from tests.data.made_files import write_common, write_long
from tests.data.test_read_long import same

DECLARED = ["--unit", "m", "--origin", "centre", "--home-attacks", "right"]


def run(*words: object) -> int:
    """The code that a command ends with."""
    with pytest.raises(SystemExit) as ended:
        main([str(word) for word in words])
    assert isinstance(ended.value.code, int)
    return ended.value.code


@pytest.fixture(scope="module")
def desk(invented: Tracking, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a long table, the match as imported, and its plans."""
    folder = tmp_path_factory.mktemp("desk")
    write_long(invented, folder / "long.csv")
    assert run("import", folder / "long.csv", "--to", folder / "match", *DECLARED) == 0
    plan = ["plan", folder / "match", "--to", folder / "plans", "--per-second", 2, "--quiet"]
    assert run(*plan) == 0
    return folder


def test_import_keeps_the_match_and_a_report(invented: Tracking, desk: Path) -> None:
    same(open_match(desk / "match"), invented)
    assert "160 frames read" in (desk / "match" / "report.txt").read_text()


def test_import_of_the_common_format(invented: Tracking, tmp_path: Path, capsys) -> None:
    write_common(invented, tmp_path / "common")
    assert run("import", tmp_path / "common", "--to", tmp_path / "kept", "--table", "csv") == 0
    same(open_match(tmp_path / "kept"), invented)
    assert "160 frames, 150 planned" in capsys.readouterr().out


def test_import_draws_the_first_moment(desk: Path, tmp_path: Path, capsys) -> None:
    assert run("import", desk / "long.csv", "--to", tmp_path / "kept", "--check", *DECLARED) == 0
    said = capsys.readouterr().out
    assert "frames a second; who moves has" in said and "check.png" in said
    assert (tmp_path / "kept" / "check.png").read_bytes().startswith(b"\x89PNG")


def test_import_with_a_bad_row_says_so_and_ends_with_1(desk: Path, tmp_path: Path, capsys) -> None:
    lines = (desk / "long.csv").read_text().splitlines()
    lines[7] = lines[7].replace(",home,", ",home,,", 1)[:-1] + "x"
    lines[40] = lines[40].replace(lines[40].split(",")[5], "here", 1)
    (tmp_path / "bad.csv").write_text("\n".join(lines))
    assert run("import", tmp_path / "bad.csv", "--to", tmp_path / "kept", *DECLARED) == 1
    said = capsys.readouterr().out
    assert "bad.csv, row 40, column x: expected a number; got 'here'. Frame 101 skipped." in said
    assert len(open_match(tmp_path / "kept")) == 158


def test_direction_by_period_pitch_and_columns(desk: Path, tmp_path: Path) -> None:
    text = (desk / "long.csv").read_text().replace("frame,time", "f,time")
    (tmp_path / "other.csv").write_text(text)
    told = ["--unit", "m", "--origin", "centre", "--home-attacks", "right,right", "--column", "frame=f",
            "--pitch", "106x69", "--home", "home"]
    assert run("import", tmp_path / "other.csv", "--to", tmp_path / "kept", *told) == 0
    assert open_match(tmp_path / "kept").pitch.length_m == 106


WRONG = [
    (["import", "{}/long.csv", "--to", "{}/x"], "expected --unit, --origin and --home-attacks: they are never guessed"),
    (["import", "{}/long.csv", "--to", "{}/x", *DECLARED[:-1], "up"], "home_attacks: expected one of right, left"),
    (["import", "{}/long.csv", "--to", "{}/x", *DECLARED, "--pitch", "big"], "--pitch: expected length x width"),
    (["import", "{}/long.csv", "--to", "{}/x", *DECLARED, "--column", "x"], "--column: expected name=value"),
    (["import", "{}/none.csv", "--to", "{}/x", *DECLARED], "table none.csv: expected a readable table"),
    (["import", "{}/none.jsonl", "--to", "{}/x"], "match none.jsonl: expected a file .jsonl"),
    (["import", "{}/long.xml", "--to", "{}/x", *DECLARED], "a name that ends in .parquet"),
    (["plan", "{}/none", "--to", "{}/x"], "expected a folder made by the command import"),
    (["plan", "{}/match", "--to", "{}/plans", "--quiet"], "expected the plans that were begun here"),
    (["plan", "{}/match", "--to", "{}/x", "--set", "steering"], "setting: expected name=value"),
    (["plan", "{}/match", "--to", "{}/x", "--set", "steering=up"], "setting steering: expected one of to_surplus"),
    (["plan", "{}/match", "--to", "{}/x", "--set", "short_pass_m=a"], "setting short_pass_m: expected a number"),
    (["plan", "{}/match", "--to", "{}/x", "--rule", "choose_presser=none.py:rule"], "own rule: expected file.py:fun"),
    (["plan", "{}/match", "--to", "{}/x", "--per-second", "0"], "moments a second: expected a number from 0.01"),
    (["plan", "{}/match", "--to", "{}/long.csv"], "folder .*long.csv.*: got Not a directory. Choose a folder"),
    (["find", "{}/plans", "two"], "fault: expected one of"),
    (["find", "{}/none", "nobody goes"], "expected folders made by the command plan"),
    (["find", "{}/plans"], "question: expected a fault or a condition"),
    (["find", "{}/plans", "nobody goes", "--scenes", "{}/s"], "--scenes: expected the plans of one match, and --match"),
    (["picture", "{}/match", "{}/x.png"], "--frame: expected the number of a frame"),
    (["picture", "{}/match", "{}/x.doc", "--frame", "100"], "picture format: expected one of png, svg, pdf"),
    (["picture", "{}/none.json", "{}/x.png"], "scene file .*none.json: got no such file"),
    (["picture", "{}/match", "{}/none/x.png", "--frame", "100"], "No such file or directory"),
    (["compare", "--set", "steering=inside", "--match", "{}/none"], "expected a folder made by the command import"),
]


@pytest.mark.parametrize(("words", "said"), WRONG, ids=[f"{words[0]} {k}" for k, (words, _) in enumerate(WRONG)])
def test_what_is_wrong_is_said_in_a_line(desk: Path, capsys, words: list[str], said: str) -> None:
    assert run(*(word.replace("{}", str(desk)) for word in words)) == 2
    error = capsys.readouterr().err
    assert re.search(said, error) and error.count("\n") == 1


def test_find_keeps_scenes_with_numbers_only(desk: Path, capsys) -> None:
    faults = read_plans(desk / "plans", "faults")
    kind = str(faults["kind"].iloc[0])
    assert run("find", desk / "plans", kind, "--match", desk / "match", "--scenes", desk / "scenes", "--first", 1) == 0
    assert f"{kind}: " in capsys.readouterr().out
    (file,) = (desk / "scenes").iterdir()
    scene = load_scene(file)
    assert re.fullmatch(r"Frame 1\d\d: (home|away) presses, period [12], \d+:\d\d", scene.title)
    number, *_, minutes, seconds = map(int, re.findall(r"\d+", scene.title))
    frames = read_plans(desk / "plans").set_index("frame_id")
    assert 60 * minutes + seconds == int(frames.loc[number, "clock_s"])
    assert scene.notes == kind and {p.number for p in scene.situation.pressing} == {str(n) for n in range(1, 12)}
    assert run("picture", file, desk / "scene.svg", "--no-plan") == 0
    assert (desk / "scene.svg").read_text().startswith("<?xml")


def test_picture_of_a_frame_says_it_in_words(desk: Path, capsys) -> None:
    assert run("picture", desk / "match", desk / "frame.png", "--frame", 100) == 0
    assert (desk / "frame.png").read_bytes().startswith(b"\x89PNG") and "balance" in capsys.readouterr().out


def test_compare_on_scenes_and_on_a_match(desk: Path, capsys) -> None:
    (desk / "my_rules.py").write_text("def keeper(situation):\n    return '1'\n")
    files = ["--to", desk / "c.csv", "--plot", desk / "c.png"]
    assert run("compare", "--set", "steering=inside", "--no-faults", *files) == 0
    assert "stock rules against steering inside" in capsys.readouterr().out
    assert (desk / "c.csv").read_text().startswith("picture,") and (desk / "c.png").stat().st_size > 1000
    told = ["compare", "--rule", f"choose_presser={desk}/my_rules.py:keeper", "--both", "pressers=anyone",
            "--no-faults", "--match", desk / "match", "--per-second", 1, "--quiet"]
    assert run(*told) == 0
    assert "16 of 16 pictures differ" in capsys.readouterr().out


@pytest.mark.parametrize(("text", "said"), [("1/0", "ZeroDivisionError"), ("x = 1", "a function of this name"),
                                            ("rule = 5", "a function of this name")])
def test_files_of_own_rules_that_do_not_work(desk: Path, tmp_path: Path, capsys, text: str, said: str) -> None:
    (tmp_path / "mine.py").write_text(text)
    assert run("compare", "--rule", f"choose_presser={tmp_path}/mine.py:rule") == 2
    assert said in capsys.readouterr().err


def test_help_names_every_command(capsys) -> None:
    main(["--help"])
    assert capsys.readouterr().out == HELP
    for name in COMMANDS:
        assert f"\n  {name} " in HELP
        with pytest.raises(SystemExit) as ended:
            main([name, "--help"])
        assert ended.value.code == 0 and "usage: python -m pressinglib " + name in capsys.readouterr().out


def test_from_the_shell_results_and_the_bar_are_kept_apart(desk: Path, tmp_path: Path) -> None:
    command = [sys.executable, "-m", "pressinglib", "plan", str(desk / "match"), "--to", str(tmp_path / "p"),
               "--per-second", "0.5", "--no-faults"]
    answer = subprocess.run(command, capture_output=True, text=True)
    assert answer.returncode == 0 and "planning" in answer.stderr and "planning" not in answer.stdout
    assert "4-4-2" in answer.stdout


def test_own_rules_may_use_dataclasses_and_what_stands_beside_them(desk: Path, tmp_path: Path, capsys) -> None:
    (tmp_path / "beside.py").write_text("NUMBER = '10'\n")
    (tmp_path / "mine.py").write_text(
        "from __future__ import annotations\nfrom dataclasses import dataclass\nfrom beside import NUMBER\n\n\n"
        "@dataclass\nclass Choice:\n    number: str\n\n\ndef rule(situation):\n    return Choice(NUMBER).number\n")
    assert run("compare", "--rule", f"choose_presser={tmp_path}/mine.py:rule", "--no-faults") == 0
    (tmp_path / "mine.py").write_text("import sys\nsys.exit('no')\n")
    assert run("compare", "--rule", f"choose_presser={tmp_path}/mine.py:rule") == 2
    assert "SystemExit: no" in capsys.readouterr().err


def test_a_reader_who_has_seen_enough_hears_nothing_more(desk: Path) -> None:
    told = [sys.executable, "-m", "pressinglib", "find", str(desk / "plans"), "--where", "open_lanes >= 0"]
    with subprocess.Popen(told, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        assert process.stdout is not None and process.stderr is not None
        process.stdout.close()
        assert process.stderr.read() == b"" and process.wait() == 0


def test_text_in_utf_16_is_named(desk: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (desk / "other.csv").write_text((desk / "long.csv").read_text(), "utf-16")
    assert run("import", desk / "other.csv", "--to", desk / "other", *DECLARED) == 2
    assert "got text in UTF-16, or no text: save it as UTF-8" in capsys.readouterr().err
