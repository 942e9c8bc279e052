"""Music that nobody here wrote, from music21's corpus: every part of two hundred files is converted, or refused
with a reason that lies in the music. The refusals are listed in corpus/refusals.txt of the build folder."""
import re
from fractions import Fraction

import corpus_files
import corpus_report
import program
import pytest
import schema
import seen
import tab

# Why a part may be refused: kinds of reasons, and how the program words them.
REASONS = {
}


@pytest.mark.parametrize("name", corpus_files.names())
def test_every_part_is_converted_or_refused_with_a_reason(name, tmp_path):
    source = corpus_files.file(name)
    outcome = program.run("describe", "--json", source)
    refusals = []
    if outcome.status != 0:
        refusals.append(refusal(name, "the file", outcome))
    else:
        for part in program.describe(source)["file"]["parts"]:
            target = tmp_path / f"{part['number']}.musicxml"
            outcome = program.run("convert", source, "-o", target, "--part", part["number"])
            if outcome.status == 0:
                data = target.read_bytes()
                assert schema.errors(data) == [], part
                assert tab.Tab(data).flaws == [], part
            else:
                assert not target.exists()
                refusals.append(refusal(name, f"part {part['number']} ({part['name']})", outcome))
    corpus_report.write(name, refusals)
    unknown = [line for line in refusals if "\tunknown\t" in line]
    assert not unknown, unknown


def refusal(name, what, outcome):
    """A line of the list. Whatever the music, the program ends in order and says one clear line."""
    assert outcome.status in (1, 3), f"{name}: {what}: exit status {outcome.status}: {outcome.err}"
    lines = [line for line in outcome.err.splitlines() if line.startswith("fifthpeg: ")]
    assert len(lines) == 1, outcome.err
    kind = next((kind for kind, pattern in REASONS.items() if re.search(pattern, lines[0])), "unknown")
    return f"{name}\t{what}\t{kind}\t{lines[0]}"
