"""fixtures/licks/README.md, the table of the collection: what `fifthpeg describe` finds in each lick.

    lick_table.py            prints it
    lick_table.py --write    writes the file

FIFTHPEG names the program. test_lick_collection.py makes it again and compares.
"""

import json
import subprocess
import sys

from conftest import PROGRAM, ROOT

FOLDER = ROOT / "fixtures" / "licks"
PAGE = FOLDER / "README.md"
HEAD = """# The licks of the class

All of them are invented: `../make_licks.py` holds them as a table, and makes the files. What follows is what `fifthpeg
describe` finds in each, made by `tests/cli/lick_table.py --write`; the tests compare it, and hold what is found to what
the author wrote of each lick beside it (`facts.json`). Chords are as they sound, frets are counted from the capo, and
beats leave out the note that a lick lands on.

| lick | what it is | for | key | chords | beats | frets | techniques | style | level |
| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |
"""


def described(paths):
    """By the name of each lick what `describe` says: of the work, the banjo and the lick."""
    result = subprocess.run([PROGRAM, "describe", *paths, "--json"], check=True, capture_output=True)
    return {path.stem: one for path, one in zip(paths, json.loads(result.stdout)["files"], strict=True)}


def frets(lick):
    span = lick["frets"]
    if span is None:
        return "open"
    return str(span["lowest"]) if span["lowest"] == span["highest"] else f"{span['lowest']} to {span['highest']}"


def row(name, said):
    lick = said["lick"]
    key = lick["key"] + (f", capo {lick['capo']}" if lick["capo"] else "")
    cells = [f"[{name}]({name}.musicxml)", said["work"]["title"], ", ".join(one["use"] for one in lick["uses"]), key,
             f"{lick['from']} to {lick['to']}", lick["beats"], frets(lick), ", ".join(lick["techniques"]), lick["style"],
             lick["difficulty"]["level"]]
    return "| " + " | ".join(str(cell) for cell in cells) + " |\n"


def table():
    licks = described(sorted(FOLDER.glob("*.musicxml")))
    return HEAD + "".join(row(name, said) for name, said in licks.items())


if __name__ == "__main__":
    if sys.argv[1:] == ["--write"]:
        PAGE.write_text(table(), encoding="utf-8")
    else:
        sys.stdout.write(table())
