"""schemas/musicxml.rnc is the published grammar, part by part: for every element the same children in the same
orders, the same attributes, the same values. Compared as data, without trying files; test_grammar.py tries files."""
import os
import random
import re
import shutil
import subprocess
import sys

import generate_grammar
import grammar
import pytest
import schema
from every_element import python_pattern
from lxml import etree
from xsd_model import Schema, differences, everything

sys.setrecursionlimit(10_000)  # elements hold elements hold elements
GENERATED = grammar.SCHEMAS / "generated"
# Only the folder of the published files has the MusicXML form of the xlink attributes; the W3C's own, which stands
# in for it elsewhere, types them a little differently.
PUBLISHED_XLINK = "FIFTHPEG_SCHEMA_DIR" in os.environ


def both():
    return Schema(GENERATED / "musicxml.xsd").roots(), Schema(schema.locate()).roots()


def test_generated_form_is_what_the_grammars_give(tmp_path):
    generate_grammar.generate(tmp_path)
    written = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    kept = {path.name: path.read_bytes() for path in GENERATED.iterdir()}
    assert written == kept  # if not: run generate_grammar.py


def test_relax_ng_form_is_sound(tmp_path):
    """The source by itself, in the form of RELAX NG that libxml2 reads, takes a score and refuses a wrong one."""
    subprocess.run(["trang", grammar.SCHEMAS / "musicxml.rnc", tmp_path / "musicxml.rng"], check=True)
    rng = etree.RelaxNG(file=str(tmp_path / "musicxml.rng"))
    text = ("<score-partwise version='4.0'><part-list><score-part id='P1'><part-name/></score-part></part-list>"
            "<part id='P1'><measure number='1'><note><rest/>{}</note></measure></part></score-partwise>")
    assert rng.validate(etree.fromstring(text.format("<duration>1</duration>")))
    assert not rng.validate(etree.fromstring(text.format("")))
    assert not rng.validate(etree.fromstring("<note><rest/><duration>1</duration></note>"))


def test_a_score_starts_as_published():
    ours, published = both()
    assert set(published) == grammar.STARTS["musicxml"] <= set(ours)


def test_every_element_is_as_published():
    ours, published = both()
    found = [line for name in published for line in differences(ours[name], published[name])]
    if not PUBLISHED_XLINK:
        found = [line for line in found if "{http://www.w3.org/1999/xlink}" not in line or "attributes" in line]
    assert found == []
    names = [{element.name for element in everything(roots[name] for name in published)}
             for roots in (ours, published)]
    assert names[0] == names[1] and len(names[1]) > 400
    assert set(ours) <= names[0]  # nothing is declared that no score can hold


CHANGED = [
    ('<xs:enumeration value="koron"/>', ""),
    ('<xs:maxInclusive value="16384"/>', '<xs:maxInclusive value="16383"/>'),
    ('<xs:element minOccurs="0" ref="alter"/>', '<xs:element ref="alter"/>'),
    ('<xs:element ref="octave"/>', ""),
    ('<xs:attribute name="winged" type="value.winged"/>', ""),
    ('<xs:attribute name="number" use="required" type="xs:token"/>', '<xs:attribute name="number" type="xs:token"/>'),
    ('<xs:element name="voice" type="xs:string"/>', '<xs:element name="voice" type="xs:token"/>'),
]


@pytest.mark.parametrize("old, new", CHANGED)
def test_differences_are_seen(old, new, tmp_path):
    """The comparison itself: a grammar that differs in one thing is told from ours."""
    for path in GENERATED.iterdir():
        shutil.copy(path, tmp_path)
    text = (GENERATED / "musicxml.xsd").read_text()
    assert old in text
    (tmp_path / "musicxml.xsd").write_text(text.replace(old, new, 1))
    ours, other = (Schema(folder / "musicxml.xsd").roots()["score-partwise"] for folder in (GENERATED, tmp_path))
    assert differences(ours, ours) == []
    assert differences(other, ours)


def _patterned(element):
    if element.text is not None:
        yield "", element.text
    for attribute in element.attributes.values():
        yield attribute.name, attribute.type


def test_patterns_mean_the_same():
    ours, published = both()
    pairs = set()
    by_name = {element.name: element for element in everything(ours[name] for name in published)}
    for element in everything(published.values()):
        mine = dict(_patterned(by_name[element.name]))
        for name, simple in _patterned(element):
            if any(atom.patterns for atom in simple):
                pairs.add((mine[name][0].patterns, simple[0].patterns))
    assert len(pairs) >= 10
    chance = random.Random(4)
    words = ["acc", "medRenFla", "medRenNatura", "medRenShar", "kievanAccidental", "coda", "segno", "lyrics", "pict",
             "wiggle", "guitar", "VibratoStroke", "Sharp", "1", "2", "10", "0", ",", ", ", " ", "#", "A0", "80FF00",
             "a", "f", "Z", ":", "2024-05-31", "-", ""]
    samples = ["".join(chance.choices(words, k=chance.randint(0, 6))) for _ in range(20_000)]
    samples += [f"#{''.join(chance.choices('0123456789ABCDEFa', k=k))}" for k in range(12) for _ in range(50)]
    for mine, theirs in pairs:
        assert len(mine) == len(theirs) == 1
        a, b = re.compile(python_pattern(mine[0])), re.compile(python_pattern(theirs[0]))
        verdicts = [(bool(a.fullmatch(text)), bool(b.fullmatch(text))) for text in samples]
        assert all(x == y for x, y in verdicts), (mine, theirs)
        assert {x for x, _ in verdicts} == {True, False}, mine
