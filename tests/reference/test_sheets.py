"""Sheets beside an independent engraver of MusicXML, verovio (PyPI), and of sixty tunes on all papers."""
import os
import subprocess
import xml.etree.ElementTree as ET
from itertools import groupby
from pathlib import Path

import fiddle_tunes
import program
import pytest
import verovio

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
BUILD = Path(os.environ.get("FIFTHPEG_BUILD") or Path(__file__).resolve().parents[2] / "build")
SVG = "{http://www.w3.org/2000/svg}"
MEI = "{http://www.music-encoding.org/ns/mei}"
XML_ID = "{http://www.w3.org/XML/1998/namespace}id"
NAMES = fiddle_tunes.names()
DRAWN = [*sorted(path.name for path in FIXTURES.glob("*.musicxml")), *NAMES[::10]]


def texts(root, kind):
    """(text, x, y, stroke) of each text of a kind, in the order of the file."""
    for group in root.iter(f"{SVG}g"):
        if group.get("class") == kind:
            for text in group.iter(f"{SVG}text"):
                yield text.text, float(text.get("x")), float(text.get("y")), text.get("data-stroke")


def ours(path, folder):
    """The struck notes of a sheet by measure: [[(string, fret), ...], ...] in order, a stroke's sorted."""
    assert program.run("sheet", path, "-o", folder / "sheet.svg", "--force").status == 0
    pages = sorted(folder.glob("sheet*.svg"), key=lambda page: (len(page.name), page.name))
    notes = []
    for page in pages:
        root = ET.parse(page).getroot()
        lines = [(y, string) for string, (_, _, y, _) in
                 enumerate(texts(root, "string-name"))]
        for fret, _, y, stroke in texts(root, "fret"):
            string = min(lines, key=lambda line: abs(line[0] - y))[1] % 5 + 1
            if not fret.startswith("("):
                notes.append((*map(int, stroke.split(".")[1:]), string, fret.strip("<>")))
    return [[[(string, fret) for _, _, string, fret in sorted(stroke)]
             for _, stroke in groupby(measure, key=lambda note: note[1])]
            for _, measure in groupby(notes, key=lambda note: note[0])]


def theirs(path):
    """The same of what the other engraver has drawn on its tab staff."""
    engraver = verovio.toolkit()
    engraver.setOptions({"svgAdditionalAttribute": [], "xmlIdSeed": 1})
    assert engraver.loadFile(str(path))
    places, tied = {}, set()
    mei = ET.fromstring(engraver.getMEI())
    for note in mei.iter(f"{MEI}note"):
        places[note.get(XML_ID)] = (int(note.get("tab.course") or 0), note.get("tab.fret"))
    tied = {tie.get("endid").lstrip("#") for tie in mei.iter(f"{MEI}tie") if tie.get("endid")}
    result = []
    for page in range(engraver.getPageCount()):
        root = ET.fromstring(engraver.renderToSVG(page + 1))
        for measure in (group for group in root.iter(f"{SVG}g") if group.get("class") == "measure"):
            staff = [group for group in measure.iter(f"{SVG}g") if group.get("class") == "staff"][-1]
            strokes = []
            for group in staff.iter(f"{SVG}g"):
                if group.get("class") == "tabGrp":
                    struck = [note.get("id") for note in group.iter(f"{SVG}g") if note.get("class") == "note"]
                    struck = sorted(places[note] for note in struck if note not in tied)
                    strokes += [struck] if struck else []
            result.append(strokes)
    return result


@pytest.fixture(params=DRAWN)
def written(request, tmp_path):
    source = FIXTURES / request.param
    if not source.exists():
        source = fiddle_tunes.files(request.param)[0]
    program.convert(source, target := tmp_path / "written.musicxml", "--thin")
    return target


def test_an_independent_engraver_draws_the_same_notes(written, tmp_path):
    drawn = [measure for measure in theirs(written) if measure]
    assert drawn
    assert ours(written, tmp_path) == drawn


def collisions(files):
    """Prints of each file, on all papers and with what notes are for, what runs into what."""
    done = subprocess.run([BUILD / "tests" / "sheet_collisions", *files], capture_output=True, check=True, text=True)
    return done.stdout


def test_sixty_tunes_collide_on_no_paper():
    files = [path for pair in fiddle_tunes.all_files() for path in pair[:1]]
    assert len(files) >= 60 and collisions(files) == ""


@pytest.mark.parametrize("style, level", [("roll", 2), ("roll", 4), ("clawhammer", 3)])
def test_arrangements_collide_on_no_paper(tmp_path, style, level):
    """Where melody is outlined, and kick-offs, licks and endings have their brackets."""
    files = []
    for name in NAMES[::12]:
        files.append(tmp_path / f"{name}.musicxml")
        done = program.run("arrange", fiddle_tunes.files(name)[0], "-o", files[-1], "--style", style, "--level", level,
                           "--kickoff", "--ending", "--variations", 2)
        assert done.status == 0, done.err
    roles = {role.text for path in files for role in ET.parse(path).getroot().iter("other-play")}
    assert {"melody", "lick"} <= roles
    assert len(files) >= 5 and collisions(files) == ""
