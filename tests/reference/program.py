"""Runs the program under test."""
import json
import os
import re
import subprocess
from pathlib import Path

PROGRAM = os.environ.get("FIFTHPEG") or str(Path(__file__).resolve().parents[2] / "build/src/cli/fifthpeg")
BUILD = Path(os.environ.get("FIFTHPEG_BUILD") or Path(PROGRAM).resolve().parents[2])
CACHE = BUILD / "CMakeCache.txt"
SANITIZED = CACHE.is_file() and "FIFTHPEG_SANITIZE:BOOL=ON" in CACHE.read_text()


class Outcome:
    def __init__(self, done):
        self.status = done.returncode
        self.out = done.stdout
        self.err = done.stderr.decode("utf-8", "replace")

    @property
    def octaves(self):
        """How many octaves the piece was moved, as the program says itself; 0 if it says nothing."""
        said = re.search(r"moved (up|down) (an|\d+) octave", self.err)
        if not said:
            return 0
        count = 1 if said.group(2) == "an" else int(said.group(2))
        return count if said.group(1) == "up" else -count

    def times(self, words):
        """How often the program says that something was done or lost."""
        lines = [line for line in self.err.splitlines() if f": {words}" in line]
        counts = [re.search(r"\((\d+) times", line) for line in lines]
        return sum(int(count.group(1)) if count else 1 for count in counts)


def run(*arguments, stdin=b"", timeout=120):
    done = subprocess.run([PROGRAM, *map(str, arguments)], input=stdin, capture_output=True, timeout=timeout)
    return Outcome(done)


def convert(source, target, *options):
    """Converts, and insists that it works."""
    outcome = run("convert", "--force", source, "-o", target, *options)
    assert outcome.status == 0, f"{source}: exit status {outcome.status}: {outcome.err}"
    assert Path(target).is_file()
    return outcome


def describe(source, *options):
    outcome = run("describe", "--json", source, *options)
    assert outcome.status == 0, outcome.err
    return json.loads(outcome.out)
