"""What became of music21's corpus: how many parts were converted, and which were refused and why, a line a part,
in the build folder."""
import os
import tempfile
from pathlib import Path

CONVERTED = "converted"
FOLDER = Path(os.environ.get("FIFTHPEG_BUILD") or tempfile.gettempdir()) / "corpus"


def clear():
    if FOLDER.is_dir():
        for piece in FOLDER.glob("*.part"):
            piece.unlink(missing_ok=True)


def write(name, lines):
    FOLDER.mkdir(parents=True, exist_ok=True)
    (FOLDER / (name.replace("/", "__") + ".part")).write_text("".join(" ".join(line.split("\n")) + "\n" for line in lines))


def join():
    pieces = sorted(FOLDER.glob("*.part")) if FOLDER.is_dir() else []
    if not pieces:
        return
    lines = [line for piece in pieces for line in piece.read_text().splitlines()]
    kinds = {}
    for line in lines:
        kinds.setdefault(line.split("\t")[2], []).append(line)
    with open(FOLDER / "refusals.txt", "w", encoding="utf-8") as out:
        for kind, members in sorted(kinds.items()):
            out.write(f"{len(members)} parts: {kind}\n")
        out.write("\n")
        out.writelines(line + "\n" for line in lines if not line.split("\t")[2].startswith(CONVERTED))
