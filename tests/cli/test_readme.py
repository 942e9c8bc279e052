"""What the README shows is what the program says."""

import re
import shlex

import pytest

from conftest import ROOT, run

README = (ROOT / "README.md").read_text()
SHOWN = re.findall(r"^```\n\$ fifthpeg (.*)\n((?:.*\n)*?)```$", README, re.MULTILINE)


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


def test_enough_is_shown():
    commands = {command.split()[0] for command, _ in SHOWN}
    assert {"show", "describe", "check"} <= commands
    styles = {word for command, _ in SHOWN for word in command.split() if word in STYLES}
    assert styles == STYLES


STYLES = {"roll", "melodic", "single-string", "clawhammer"}
