"""Work grows with the length of a file, and not with its square: each token of XML, in each place where text may stand,
each pair of sibling elements, and what tab consists of, so many times and twice as many times.

What is counted are instructions, which no load on the machine changes: growth.cpp under callgrind. A sanitized program
does not run there; it only has to come to an end.
"""

import copy
import os
import pathlib
import re
import subprocess
import xml.etree.ElementTree as ElementTree

ROOT = pathlib.Path(__file__).resolve().parents[2]
BUILD = pathlib.Path(os.environ["FIFTHPEG_BUILD"]).resolve()
SANITIZED = "FIFTHPEG_SANITIZE:BOOL=ON" in (BUILD / "CMakeCache.txt").read_text()

MOST = 2.5
MOST_FOR_FILES = 2.2  # each costs much more than it takes to put them in order
# Of what is repeated, the first time: enough that a square is more than all the rest, where each costs a search.
BYTES = 1_000
MORE_BYTES = 15_000  # where each costs but a step

SCORE = (
    '<?xml version="1.0" encoding="UTF-8"?>\n{top}<score-partwise version="4.0"><work><work-title>Handout</work-title>'
    '</work><part-list><score-part id="P1"><part-name>Banjo</part-name></score-part></part-list><part id="P1">'
    '<measure number="1"{tag}><attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type>{time}</time>'
    "</attributes>{measure}<note><pitch><step>G</step><octave>4</octave></pitch><duration>4</duration></note></measure>"
    "</part></score-partwise>"
)
PLACES = ["top", "measure"]
# {n} counts on, so that no two are the same. What follows a token is looked at in its light.
TOKENS = [
    "<?", "<?x?>", "<?x", "<!--", "<!---->", "-->", "<![CDATA[", "<![CDATA[]]>", "]]>", "?>", "<!", "<!DOCTYPE ",
    "<!ENTITY a 'b'>", "[", "]", "&", "&amp;", "&x;", "&y{n};", "&#65;", "&#0;", "'", '"', "<", ">", "</", "/>", "\x01",
    "\ufffe", "\n", "\xa0", "<a/>", "<a{n}/>", "<x:a/>", "<?fifthpeg-check silence= ", '<?fifthpeg-check silence="a{n}"?>',
]
ATTRIBUTES = [' a{n}="b"', " a='b'", " a", "=", " xmlns:a{n}='b'"]


def repeated(token, times):
    return "".join(token.replace("{n}", str(number)) for number in range(10_000, 10_000 + times))


def times_of(token, size=BYTES):
    return max(6, size // len(token.encode()))


def case(place, token, size):
    """A name and two files."""

    def score(times):
        held = dict.fromkeys([*PLACES, "tag", "time"], "")
        held[place] = repeated(token, times)
        # What is asked about the last place, an entity, goes through all that stands before.
        held["measure"] += "<direction><direction-type><words>&z;</words></direction-type></direction>"
        return SCORE.format(**held).encode()

    times = times_of(token, size)
    return f"{place} {token!r}", score(times), score(2 * times)


def with_tokens():
    for place in PLACES:
        for token in TOKENS:
            yield case(place, token, BYTES)
    for token in ATTRIBUTES:
        yield case("tag", token, MORE_BYTES)
    yield case("time", "<beats>4</beats><beat-type>4</beat-type>", 4 * MORE_BYTES)


def parts_of(fixture):
    """The score with one of its measures at a time."""
    root = ElementTree.parse(ROOT / "fixtures" / fixture).getroot()
    for kept in range(len(root.find("part"))):
        one = copy.deepcopy(root)
        part = one.find("part")
        for measure in [measure for index, measure in enumerate(part) if index not in (0, kept)]:
            part.remove(measure)
        yield one


def with_siblings():
    seen = set()
    for fixture in ("lick-slide.musicxml", "lick-choke.musicxml"):
        for root in parts_of(fixture):
            for parent in root.iter():
                children = list(parent)
                for at in range(len(children)):
                    pair = children[at:at + 2]  # the last one: itself alone
                    names = (parent.tag, *(element.tag for element in pair))
                    if names in seen:
                        continue
                    seen.add(names)
                    text = "".join(ElementTree.tostring(element, encoding="unicode") for element in pair)
                    parent.insert(at, ElementTree.Element("HERE"))
                    whole = ElementTree.tostring(root, encoding="unicode")
                    parent.remove(parent[at])
                    once, twice = (whole.replace("<HERE />", text * times).encode()
                                   for times in (times_of(text), 2 * times_of(text)))
                    yield " ".join(names), once, twice


def counts(folder, files):
    """Instructions by file and stage."""
    program = [str(BUILD / "tests" / "growth"), *files]
    if not SANITIZED:
        program = ["valgrind", "-q", "--tool=callgrind", "--collect-atstart=no", "--callgrind-out-file=counts", *program]
    subprocess.run(program, cwd=folder, check=True, capture_output=True)
    counted = {}
    for path in folder.glob("counts.*"):
        text = path.read_text()
        named = re.search(r"^desc: Trigger: Client Request: (.*)$", text, re.M)
        if named:
            counted[named[1]] = int(re.search(r"^(?:summary|totals): (\d+)", text, re.M)[1])
    return counted


def holds(folder, cases):
    cases = list(cases)
    files = []
    for number, (_, *contents) in enumerate(cases):
        for name, content in zip(("once", "twice"), contents):
            files.append(f"{name}-{number}")
            (folder / files[-1]).write_bytes(content)
    counted = counts(folder, files)
    if SANITIZED:
        return
    stages = ("convert", "check", "fix")
    assert len(counted) == len(files) * len(stages)
    grown = {
        f"{name}, {stage}": counted[f"twice-{number} {stage}"] / counted[f"once-{number} {stage}"]
        for number, (name, *_) in enumerate(cases) for stage in stages
    }
    print(f"{len(cases)} cases, {sum(counted.values()) / 1e6:.0f} million instructions; the most:",
          sorted(grown.items(), key=lambda one: -one[1])[:5])
    assert {name: round(ratio, 2) for name, ratio in grown.items() if ratio >= MOST} == {}


def test_tokens(tmp_path):
    holds(tmp_path, with_tokens())


def test_siblings(tmp_path):
    holds(tmp_path, with_siblings())


def find_in(folder, *options):
    """Instructions of `find` on a folder of licks."""
    program = [os.environ.get("FIFTHPEG") or str(BUILD / "src/cli/fifthpeg"), "find", str(folder), "--jobs", "1", *options]
    if not SANITIZED:
        counts = folder.parent / "counts"
        program = ["valgrind", "-q", "--tool=callgrind", f"--callgrind-out-file={counts}", *program]
    subprocess.run(program, check=True, capture_output=True)
    return 0 if SANITIZED else int(re.search(r"^(?:summary|totals): (\d+)", counts.read_text(), re.M)[1])


def test_licks(tmp_path):
    """A folder with twice as many licks, all of them different, or all of them the same."""
    strings = "dBGDg"
    like = ROOT / "fixtures" / "lick-slide.musicxml"
    for case in ("different", "same"):
        counted = []
        for files in (60, 120):
            folder = tmp_path / f"{case}-{files}"
            folder.mkdir()
            for number in range(files):
                kind = number if case == "different" else 0
                frets = [str(kind // 6 ** place % 6) for place in range(4)]
                lines = ["-" + "-".join(fret if name == "G" else "-" for fret in frets) + "-" for name in strings]
                text = "".join(f"{name}|{line}|\n" for name, line in zip(strings, lines))
                (folder / f"{number}.txt").write_text(f"Tuning: gDGBD\nKey: G\nMeter: 4/4\n\n{text}")
            counted.append(find_in(folder, "--from", "G", "--like", str(like)))
        if not SANITIZED:
            print(case, counted, counted[1] / counted[0])
            assert counted[1] / counted[0] < MOST_FOR_FILES, case


def with_tab():
    """Measures side by side and one below the other, signs in one long measure, lines of text of each kind."""
    strings = "dBGDg"

    def lines(third):
        return "".join(f"{name}|{third if name == 'G' else '-' * len(third)}|\n" for name in strings)

    head = "Tuning: gDGBD\nKey: G\nMeter: 4/4\n\n"
    one = lines("-0-2-0-2-0-2-0-2-")
    counted = one + "   1 & 2 & 3 & 4 &\n"
    texts = {
        "systems": lambda times: head + (one + "\n") * times,
        "counted systems": lambda times: head + (counted + "\n") * times,
        "measures": lambda times: head + lines("|".join(["-0-2-0-2-0-2-0-2-"] * times)),
        "counted measures": lambda times: head + lines("|".join(["-0-2-0-2-0-2-0-2-"] * times)) + "  " +
        " 1 & 2 & 3 & 4 &  " * times + "\n",
        "one measure": lambda times: head + lines("-0" * times),
        "without bars": lambda times: head + "".join(f"{'-0' * times if name == 'G' else '--' * times}\n"
                                                     for name in strings),
        "broken measures": lambda times: head + one.replace("|\n", ">\n") + "\n" +
        (one.replace("|-", ">-").replace("|\n", ">\n") + "\n") * times,
        "prose": lambda times: head + one + "\nand so on\n" * times,
        "heading": lambda times: "A lick\n" * times + "\n" + head + one,
        "broken heading": lambda times: "Title: A\n" + "lick\n" * times + "\n" + head + one,
        "words over": lambda times: head + ("     [A]   " * times) + "\n" + one,
        "names under": lambda times: head + one + "  " + " G3" * times + "\n",
        "syllables": lambda times: head + counted + ("   la" * times) + "\n",
        "slides": lambda times: head + lines("-5/7\\5" * times),
        "parentheses": lambda times: head + lines("-(5)" * times),
        "dots": lambda times: head + lines(":|" * times),
        "tab stops": lambda times: head + one + "\t" * times + "x\n",
        "quotes": lambda times: head + ">" * times + one,
        "em dashes": lambda times: head + lines("\u2014" * times),
    }
    for name, text in texts.items():
        unit = len(text(2)) - len(text(1))
        times = max(6, 2 * BYTES // unit)
        yield name, text(times).encode(), text(2 * times).encode()


def test_tab(tmp_path):
    holds(tmp_path, with_tab())
