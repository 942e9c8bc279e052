"""The floors of the sources, and the #includes that do not keep to them.

    floors.py [FOLDER]     prints those of FOLDER (this project); exit status 1 if there are any

floors.txt has a line a floor, the highest first, with the rooms on it side by side. The rooms of an indented line
are inside each room of the next line, on top of its own files, and private to it. A file belongs to the smallest
room that holds it, and includes only

- public headers, fifthpeg/*.hpp, which in turn include nothing of this project but each other;
- headers of its own room;
- headers of rooms on lower floors that are not private to somebody else.
"""
import re
import sys
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
TABLE = Path(__file__).with_name("floors.txt")
GENERATED = {"version.hpp"}  # facts of the build, for any room
INCLUDE = re.compile(r'^\s*#\s*include\s*"([^"]+)"', re.MULTILINE)


class Room(NamedTuple):
    folder: str
    height: int  # of its floor
    house: str  # the room that it is private to, or the room itself


def plan(table=TABLE):
    """{folder: Room} of a table of floors."""
    rooms, inside = {}, []
    for height, line in enumerate(reversed(table.read_text().splitlines())):
        names = [name.strip() for name in line.split("|")]
        if line[0].isspace():
            found = [Room(f"{house}/{name}", height, house) for house in inside for name in names]
        else:
            found = [Room(name, height, name) for name in names]
            inside = names
        rooms.update((room.folder, room) for room in found)
    return rooms


def room_of(path, rooms):
    """The smallest room that holds a file of src, or None."""
    return rooms.get(max((folder for folder in rooms if path.startswith(folder + "/")), key=len, default=None))


def fault(path, target, rooms):
    """What is wrong with a file of src that includes another, or None."""
    if target.startswith("fifthpeg/") or target in GENERATED:
        return None
    here, there = room_of(path, rooms), room_of(target, rooms)
    if there is None:
        return "in no room"
    if there == here or there.folder == here.house:
        return None
    if there.height > here.height:
        return "upward"
    if there.height in (here.height, rooms[here.house].height):
        return "sideways"
    if there.house not in (there.folder, here.house):
        return f"private to {there.house}"
    return None


def faults(root=ROOT, table=TABLE):
    """A line for each #include that does not keep to the floors, and for each file that is in no room."""
    rooms = plan(table)
    found = []
    for path in sorted((root / "include").rglob("*.hpp")):
        found += [f"{path.relative_to(root)} includes {target}: not public"
                  for target in INCLUDE.findall(path.read_text()) if not target.startswith("fifthpeg/")]
    for path in sorted((root / "src").rglob("*.[ch]pp")):
        name = path.relative_to(root / "src").as_posix()
        if room_of(name, rooms) is None:
            found.append(f"src/{name}: in no room")
            continue
        for target in INCLUDE.findall(path.read_text()):
            if wrong := fault(name, target, rooms):
                found.append(f"src/{name} includes {target}: {wrong}")
    return found


if __name__ == "__main__":
    lines = faults(Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT)
    print("\n".join(lines) or "every #include keeps to the floors")
    sys.exit(bool(lines))
