"""What the README shows is what the program says, and what it proposes works."""

import os
import re
import shlex
import subprocess

import pytest

from conftest import PROGRAM, ROOT, names, run
from material import frets, musicxml

README = (ROOT / "README.md").read_text()
SHOWN = re.findall(r"^```\n\$ fifthpeg (.*)\n((?:.*\n)*?)```$", README, re.MULTILINE)
PICTURES = re.findall(r"^!\[.+\]\(fixtures/(.*)\)$", README, re.MULTILINE)
DRAWING = re.findall(r"^fifthpeg (.*)$", (ROOT / "fixtures/README.md").read_text(), re.MULTILINE)
HALF_HOUR = re.search(r"^### A teacher's half hour\n(?:.*\n)*?```\n((?:.*\n)*?)```$", README, re.MULTILINE).group(1)
TASKS = re.findall(r"^\| .* \| `fifthpeg (.*)` \|$", README, re.MULTILINE)


@pytest.mark.parametrize("command, shown", SHOWN, ids=[command for command, _ in SHOWN])
def test_shown_output(command, shown):
    """A line of three dots stands for any lines."""
    result = run(*shlex.split(command), cwd=ROOT)
    # What is checked there has mistakes.
    assert result.status == (1 if command.startswith("check ") else 0)
    said = result.out.decode()
    at = 0
    for piece in re.split(r"^\.\.\.\n", shown, flags=re.MULTILINE):
        found = said.find(piece, at)
        assert found >= 0, f"not in the output any more:\n{piece}"
        at = found + len(piece)


@pytest.mark.parametrize("command", TASKS)
def test_each_task_is_one_command(command, tmp_path):
    (tmp_path / "fixtures").symlink_to(ROOT / "fixtures")
    words = [name for word in shlex.split(command) for name in
             (sorted(str(path.relative_to(tmp_path)) for path in tmp_path.glob(word)) if "*" in word else [word])]
    result = run(*words, cwd=tmp_path)
    assert result.status == 0, result.err
    for option in ("-o", "--fix"):
        if option in words:
            assert (tmp_path / words[words.index(option) + 1]).stat().st_size > 0
    if "-d" in words:
        assert len(list((tmp_path / words[words.index("-d") + 1]).iterdir())) == len(list(ROOT.glob("fixtures/*.mid")))


def test_the_half_hour_is_a_script(tmp_path):
    """Three licks are found that lead from G to D, one of them stands in the tune's third measure, and all is there."""
    (tmp_path / "fixtures").symlink_to(ROOT / "fixtures")
    result = subprocess.run(["bash", "-euo", "pipefail", "-c", HALF_HOUR], cwd=tmp_path, capture_output=True, timeout=120,
                            check=False, env={**os.environ, "PATH": f"{PROGRAM.parent}:{os.environ['PATH']}"})
    assert result.returncode == 0, result.stderr.decode()
    said = result.stdout.decode()
    assert len(re.findall(r"^fixtures/licks/.*: [GA] to [DE] in [GA] major, 4 beats", said, re.MULTILINE)) == 3, said
    assert "leads from  G to D, in G major" in said and "A slide, then down to E" in said
    tune = musicxml(tmp_path / "walking.musicxml")
    lick = musicxml(ROOT / "fixtures/licks/walk-g-d-down.musicxml")
    assert frets(tune.find("part/measure[@number='3']")) == frets(lick.find("part/measure[@number='1']"), "1")
    assert names(tmp_path) == ["cabbage.musicxml", "fixtures", "walking.musicxml", "week-4.html", "week-4.pdf"]
    assert all(path.stat().st_size > 1000 for path in tmp_path.glob("week-4.*"))


def test_pictures_are_what_the_program_draws(tmp_path):
    """Made by the commands in the README of the fixtures; after a change that is meant, make them again."""
    (tmp_path / "fixtures").symlink_to(ROOT / "fixtures")
    for command in DRAWING:
        result = run(*shlex.split(command), cwd=tmp_path)
        assert result.status == 0, result.err
    drawn = [shlex.split(command)[-1] for command in DRAWING if command.startswith("sheet")]
    # Pages are drawn by a browser, each version of it a little differently; tests/browser holds what is on them.
    of_pages = [name for name in PICTURES if name.startswith("page-")]
    assert sorted(PICTURES) == sorted(drawn + of_pages) == sorted(path.name for path in ROOT.glob("fixtures/*.png"))
    assert all(f"`{name}`" in (ROOT / "fixtures/README.md").read_text() for name in of_pages)
    for name in drawn:
        page = tmp_path / name if (tmp_path / name).exists() else tmp_path / name.replace(".png", "-1.png")
        assert page.read_bytes() == (ROOT / "fixtures" / name).read_bytes(), f"not drawn like that any more: {name}"


def test_enough_is_shown():
    assert {"arrange", "show", "check"} <= {command.split()[0] for command, _ in SHOWN}
    assert {"show", "describe", "convert", "arrange", "advise", "check", "sheet", "practice", "find"} == {command.split()[0] for command in TASKS}
