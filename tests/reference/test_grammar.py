"""Our grammar and the published one judge files alike: files that use every element, files that music21 writes, and
thousands of files with one thing changed.

Three verdicts are held against each other: libxml2 (lxml) with the published schema, libxml2 with the generated form
of ours, and the program, which follows the order of elements by itself.
"""
import sys
from pathlib import Path

import every_element
import fiddle_tunes
import grammar
import mutants
import pytest
import schema
from lxml import etree
from xsd_model import Schema, everything

FIXTURES = grammar.ROOT / "fixtures"
SCORES = sorted(FIXTURES.rglob("*.musicxml"))


def verdicts(documents):
    """(published, ours by lxml, ours by the program) for each document."""
    faults = grammar.faults_by_program(documents)
    return [(schema.schema().validate(etree.fromstring(document)), grammar.valid_by_lxml(document),
             not program_faults(found)) for document, found in zip(documents, faults)]


def program_faults(found):
    """Without references to ids that the file does not have: libxml2 overlooks them, see below."""
    return [fault for fault in found if fault != "dangling-reference"]


def agree(names, documents):
    """Asserts that all agree; returns how many were valid and how many were not."""
    judged = verdicts(documents)
    apart = [(name, *verdict, document) for name, verdict, document in zip(names, judged, documents)
             if len(set(verdict)) > 1]
    assert not apart, f"{len(apart)} apart (published, ours, program), such as {apart[0]}"
    valid = sum(published for published, _, _ in judged)
    return valid, len(judged) - valid


def say(capsys, text):
    with capsys.disabled():
        print(f"\n{text}", file=sys.stderr, flush=True)


def music21_scores():
    return [musicxml.read_bytes() for musicxml, _ in fiddle_tunes.all_files()]


def shortened(document, measures=2):
    """The first measures of each part: small, so that a change hits anything with the same chance."""
    root = etree.fromstring(document)
    for part in root.findall("part"):
        for measure in part.findall("measure")[measures:]:
            part.remove(measure)
    return etree.tostring(root, encoding="utf-8")


@pytest.fixture(scope="module")
def examples():
    return list(every_element.generate(schema.locate()))


def test_every_element_attribute_and_value(examples, capsys):
    valid, invalid = agree([example.name for example in examples], [example.xml.encode() for example in examples])
    assert invalid == 0
    say(capsys, f"grammar: every element, attribute and value: {valid} files, valid by all")


def test_examples_use_all_there_is(examples):
    used, attributes, values = set(), set(), set()
    for example in examples:
        for node in etree.fromstring(example.xml).iter():
            used.add(node.tag)
            attributes.update((node.tag, name) for name in node.attrib)
            values.update((node.tag, name, value) for name, value in node.attrib.items())
            values.add((node.tag, "", node.text or ""))
    model = Schema(schema.locate()).roots()
    for element in everything(model.values()):
        assert element.name in used
        for attribute in element.attributes.values():
            assert (element.name, attribute.name) in attributes
            for atom in attribute.type:
                for value in atom.enumeration or () if attribute.fixed is None else ():
                    assert (element.name, attribute.name, value) in values
        for atom in element.text or ():
            for value in atom.enumeration or ():
                assert (element.name, "", value) in values


def test_fixtures_and_music21(capsys):
    documents = [path.read_bytes() for path in SCORES] + music21_scores()
    assert len(SCORES) >= 3 and len(documents) >= 60
    valid, invalid = agree([str(index) for index in range(len(documents))], documents)
    say(capsys, f"grammar: fixtures and music21's files: {valid} valid, {invalid} invalid, by all")
    assert valid >= 60


def judged_mutants(bases, each, label, capsys):
    made = [mutant for index, base in enumerate(bases)
            for mutant in mutants.mutants(base, seed=f"{label} {index}", count=each)]
    valid, invalid = agree([mutant.what for mutant in made], [mutant.xml for mutant in made])
    kinds = {mutant.what for mutant in made}
    assert kinds == {change.__name__ for change in mutants.CHANGES}
    say(capsys, f"grammar: mutants of {label}: {valid} valid, {invalid} invalid, by all")
    return valid, invalid


def test_mutants_of_every_element(examples, capsys):
    # Those that show an element, and of the others every seventh: the mutants change the values anyway.
    bases = [e.xml.encode() for e in examples if e.kind == "element"]
    bases += [e.xml.encode() for e in examples if e.kind != "element"][::7]
    valid, invalid = judged_mutants(bases, 6, "every element", capsys)
    assert invalid >= 5000 and valid >= 1000


def test_mutants_of_fixtures_and_music21(capsys):
    # The licks of the collection are of one kind; a few of them do for all.
    collection = [path for path in SCORES if path.parent.name == "licks"]
    bases = [shortened(path.read_bytes()) for path in SCORES if path not in collection] + [
        shortened(path.read_bytes()) for path in collection[::10]]
    bases += [shortened(document) for document in music21_scores()[:60]]
    valid, invalid = judged_mutants(bases, 60, "fixtures and music21's files", capsys)
    assert invalid >= 2500 and valid >= 300


def test_a_reference_has_to_find_its_id():
    """libxml2 does not look; the rule is XML Schema's (part 1, cvc-id), and the package xmlschema follows it."""
    import xmlschema

    whole = SCORES[0].read_bytes()
    lost = whole.replace(b'<part id="P1"', b'<part id="P9"')
    assert lost != whole
    assert schema.schema().validate(etree.fromstring(lost))
    judge = xmlschema.XMLSchema10(str(grammar.SCHEMAS / "generated" / "musicxml.xsd"), allow="local", defuse="never")
    assert judge.is_valid(whole.decode()) and not judge.is_valid(lost.decode())
    assert grammar.faults_by_program([whole, lost]) == [[], ["dangling-reference"]]


def test_container(capsys):
    right = b"<container><rootfiles><rootfile full-path='a.musicxml'/></rootfiles></container>"
    more = right.replace(b"</rootfiles>", b"<rootfile full-path='a.pdf' media-type='application/pdf'/></rootfiles>")
    made = [m.xml for base in (right, more) for m in mutants.mutants(base, seed="container", count=200)]
    # From the standard: a container holds one rootfiles, which holds at least one rootfile, which has a full-path
    # and may have a media-type, and that is all.
    def by_hand(document):
        root = etree.fromstring(document)
        text = "".join(t for e in root.iter() for t in [e.text or "", e.tail or ""])
        files = root[0] if len(root) == 1 else []
        return (root.tag == "container" and not root.attrib and not text.strip() and len(root) == 1
                and root[0].tag == "rootfiles" and not root[0].attrib and len(files) > 0
                and all(f.tag == "rootfile" and not len(f) and not f.text and "full-path" in f.attrib
                        and set(f.attrib) <= {"full-path", "media-type"} for f in files))
    documents = [right, more, *made]
    hand = [by_hand(d) for d in documents]
    assert [grammar.valid_by_lxml(d, "container") for d in documents] == hand
    assert [not found for found in grammar.faults_by_program(documents, "container")] == hand
    published = Path(schema.locate()["musicxml.xsd"]).with_name("container.xsd")
    if published.exists():  # the Python package does not carry it
        theirs = etree.XMLSchema(file=str(published))
        assert [theirs.validate(etree.fromstring(d)) for d in documents] == hand
    say(capsys, f"grammar: containers: {sum(hand)} valid, {len(hand) - sum(hand)} invalid, by all")
    assert hand.count(False) >= 200 and hand.count(True) >= 5
