"""Music that nobody here wrote, from music21's corpus: every part of two hundred files is converted, or refused
with a reason that lies in the music, and that is looked up in the music here. The refusals are listed in
corpus/refusals.txt of the build folder."""
import itertools
import re
import zipfile

import corpus_files
import corpus_report
import music21
import program
import pytest
import schema
import tab

# Open strings 5 to 1 in open G, and the frets that they have.
STRINGS = [(67, [0, *range(6, 23)]), (50, range(23)), (55, range(23)), (59, range(23)), (62, range(23))]
LOWEST, HIGHEST = 50, 62 + 22


@pytest.mark.parametrize("name", corpus_files.names())
def test_every_part_is_converted_or_refused_with_a_reason(name, tmp_path):
    source = corpus_files.file(name)
    outcome = program.run("describe", "--json", source)
    if outcome.status != 0:
        corpus_report.write(name, [f"{name}\tthe file\tunreadable\t{outcome.err.strip()}"])
    assert outcome.status == 0, outcome.err
    lines = []
    for part in program.describe(source)["file"]["parts"]:
        what, target = f"part {part['number']} ({part['name']})", tmp_path / f"{part['number']}.musicxml"
        outcome = program.run("convert", source, "-o", target, "--part", part["number"])
        if outcome.status == 0:
            data = target.read_bytes()
            assert schema.errors(data) == [], part
            written = tab.Tab(data)
            assert written.flaws == [], part
            assert not written.typeless or "without a note value" in outcome.err, part
            exact = compare(source, part["number"] - 1, outcome, target)
            lines.append(f"{name}\t{what}\t{corpus_report.CONVERTED}{', note for note' if exact else ''}\t")
        else:
            assert not target.exists()
            line = refusal(outcome)
            lines.append(f"{name}\t{what}\t{reason(line, part)}\t{line}")
    corpus_report.write(name, lines)
    assert not [line for line in lines if "\tNOT TRUE: " in line]


def compare(source, part, outcome, target):
    """A part with a single voice comes out note for note, unless the file contradicts itself. Returns whether
    there was something to compare."""
    before = tab.melody_of(document(source), part)
    if before is None or " mended: " in outcome.err:
        return False
    after = tab.melody_of(schema.parse(program.run("convert", target, "-o", "-", "--to", "musicxml", "--staves",
                                                   "notation").out), 0)
    assert [(onset, midi + 12 * outcome.octaves, length) for onset, midi, length in before] == after
    return True


def document(source):
    if source.suffix != ".mxl":
        return schema.parse(source.read_bytes())
    with zipfile.ZipFile(source) as archive:
        container = schema.parse(archive.read("META-INF/container.xml"))
        return schema.parse(archive.read(container.find(".//{*}rootfile").get("full-path")))


def refusal(outcome):
    """Whatever the music, the program ends in order and says one clear line."""
    assert outcome.status == 1, f"exit status {outcome.status}: {outcome.err}"
    lines = [line for line in outcome.err.splitlines() if line.startswith("fifthpeg: ")]
    assert len(lines) == 1, outcome.err
    assert re.search(r": measure \S+, beat ", lines[0])
    return lines[0]


def reason(line, part):
    """The kind of reason, after a look at whether it is true."""
    if part["percussion"] and "percussion" in line:
        return "percussion has no pitches"
    if part["notes"] == 0 and "no notes" in line:
        return "no notes"
    if "outside the banjo's range" in line:
        low, high = part["range"]["lowest"]["midi"], part["range"]["highest"]["midi"]
        fits = [octaves for octaves in range(-8, 9) if LOWEST <= low + 12 * octaves and high + 12 * octaves <= HIGHEST]
        return "more range than the banjo has, in any octave" if not fits else f"NOT TRUE: fits at {fits} octaves"
    chord = re.search(r"no hand can hold ((?:[A-G][#b]*-?\d )+)together", line)
    if chord:
        pitches = [music21.pitch.Pitch(name.replace("b", "-")).midi for name in chord.group(1).split()]
        held = grip(pitches)
        return "a chord that no hand can hold" if held is None else f"NOT TRUE: held at {held}"
    return "NOT TRUE: a reason that is none"


def grip(pitches):
    """(string, fret) of each pitch, all on different strings and no more than three frets apart, open strings
    aside, which any hand can hold; None if there is no such way."""
    if len(pitches) > len(STRINGS):
        return None
    for strings in itertools.permutations(range(len(STRINGS)), len(pitches)):
        frets = []
        for string, pitch in zip(strings, pitches):
            opened, exist = STRINGS[string]
            fret = pitch - opened + (5 if string == 0 and pitch != opened else 0)
            if fret not in exist:
                break
            frets.append(fret)
        else:
            stopped = [fret for fret in frets if fret]
            if not stopped or max(stopped) - min(stopped) <= 3:
                return [(5 - string, fret) for string, fret in zip(strings, frets)]
    return None
