"""Two hundred files of music21's corpus, beside the fiddle collection: music that nobody here wrote.

The rule: of each folder and format at most CAP files, evenly spread over their names, so that the large
collections do not crowd out the rest; of these SIZE, again evenly spread. Of a file with many tunes, the
first. What is Humdrum or ABC is turned into MusicXML by music21, once.
"""
import re
from collections import defaultdict
from pathlib import Path

import made_once
import music21

SIZE, CAP = 200, 17
FORMATS = (".xml", ".musicxml", ".mxl", ".mid", ".midi", ".krn", ".abc")
ROOT = Path(music21.__file__).parent / "corpus"


def names():
    groups = defaultdict(list)
    for path in sorted(ROOT.rglob("*")):
        name = path.relative_to(ROOT).as_posix()
        if path.suffix in FORMATS and not name.startswith("ryansMammoth/"):
            groups[name.split("/")[0], path.suffix].append(name)
    chosen = []
    for group in groups.values():
        count = min(CAP, len(group))
        chosen += [group[index * len(group) // count] for index in range(count)]
    chosen.sort()
    return [chosen[index * len(chosen) // SIZE] for index in range(SIZE)]


def size(name):
    """About the number of bytes of a file; archives pack theirs twenty to one."""
    return (ROOT / name).stat().st_size * (20 if name.endswith(".mxl") else 1)


def _read(source):
    if source.suffix == ".abc":
        text = source.read_text(encoding="utf-8", errors="replace")
        tunes = re.split(r"^(?=X:)", text, flags=re.MULTILINE)
        first = next(index for index, tune in enumerate(tunes) if tune.startswith("X:"))
        return music21.converter.parse("".join(tunes[:first + 1]), format="abc")
    return music21.converter.parse(source, forceSource=True)


def file(name):
    """The path of a file that the program reads; the file itself where it can."""
    source = ROOT / name
    if source.suffix not in (".krn", ".abc"):
        return source
    target = made_once.folder("corpus", __file__) / (name.replace("/", "__") + ".musicxml")

    def write(path):
        score = _read(source)
        if isinstance(score, music21.stream.Opus):
            score = score.scores[0]
        score.write("musicxml", fp=path)

    made_once.make([target], write)
    return target
