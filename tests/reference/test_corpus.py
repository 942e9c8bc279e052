"""Music that nobody here wrote, from music21's corpus: every part of two hundred files is converted, or refused
with a reason that lies in the music, and that is looked up in the music here. The refusals are listed in
corpus/refusals.txt of the build folder."""
import json
import zipfile

import corpus_files
import corpus_report
import program
import pytest
import refusals
import schema
import tab


@pytest.mark.parametrize("name", corpus_files.names())
def test_every_part_is_converted_or_refused_with_a_reason(name, tmp_path):
    source = corpus_files.file(name)
    outcome = program.run("describe", "--json", source)
    if outcome.status != 0:
        corpus_report.write(name, [f"{name}\tthe file\tunreadable\t{outcome.err.strip()}"])
    assert outcome.status == 0, outcome.err
    lines = []
    for part in json.loads(outcome.out)["file"]["parts"]:
        what, target = f"part {part['number']} ({part['name']})", tmp_path / f"{part['number']}.musicxml"
        outcome = program.run("convert", source, "-o", target, "--part", part["number"])
        if outcome.status == 0:
            data = target.read_bytes()
            assert schema.errors(data) == [], part
            assert errors_found(target) == [], part
            written = tab.Tab(data)
            assert written.flaws == [], part
            assert not written.typeless or "without a note value" in outcome.err, part
            exact = compare(source, part["number"] - 1, outcome, target)
            lines.append(f"{name}\t{what}\t{corpus_report.CONVERTED}{', note for note' if exact else ''}\t")
        else:
            assert not target.exists()
            line = refusals.line(outcome)
            lines.append(f"{name}\t{what}\t{refusals.reason(line, part)}\t{line}")
    corpus_report.write(name, lines)
    assert not [line for line in lines if "\tNOT TRUE: " in line]


def errors_found(path):
    """What `check` says, warnings and notes aside."""
    file, = json.loads(program.run("check", "--json", path).out)["files"]
    return [finding for finding in file["findings"] if finding["severity"] == "error"]


# What is told of a file that contradicts itself, and so has no one melody.
CONTRADICTIONS = [" repaired: ", "contradict its duration", "has no other end", "that no instrument has", "beyond five octaves",
                  "an invalid meter", "do not give the note's pitch", "name different strings", "is given another"]


def compare(source, part, outcome, target):
    """A part with a single voice comes out note for note, unless the file contradicts itself. Returns whether
    there was something to compare."""
    before = tab.melody_of(document(source), part)
    if before is None or any(words in outcome.err for words in CONTRADICTIONS):
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
