"""Puts the smallest examples of MusicXML's elements and attributes into a tune.

The files of every_element are as small as the schema lets them be: a hammer-on that leads nowhere, a note without a
length. Here each stands in two measures of music for a banjo, with whatever it needs to mean something: a slur has
both its ends, a fret has its string. Beside each there is the same music without it, to tell what it is that makes
the difference.
"""

from __future__ import annotations

import copy
import re
from typing import NamedTuple

import every_element
import schema
from lxml import etree

START = "score-partwise/part/"
DIVISIONS = 24

# The order of what may stand in a note, after the content model of MusicXML 4.0.
NOTE_ORDER = [
    "grace", "cue", "chord", "pitch", "unpitched", "rest", "duration", "tie", "instrument", "footnote", "level", "voice",
    "type", "dot", "accidental", "time-modification", "stem", "notehead", "notehead-text", "staff", "beam", "notations",
    "lyric", "play", "listen",
]

# Texts that mean something where the schema only wants a number or a token: by name, or parent/name.
TEXTS = {
    "actual-notes": "3", "normal-notes": "2", "normal-type": "eighth", "tuplet-number": "3",
    "tuplet-normal/tuplet-number": "2", "tuplet-type": "eighth", "alter": "1", "backup/duration": "24",
    "bass-alter": "-1", "bass-step": "B", "beat-type": "8", "beat-unit": "half", "beats": "6", "bend-alter": "1", "line": "3", "clef-octave-change": "-1", "slide": "", "glissando": "", "hammer-on": "",
    "pull-off": "", "ending": "",
    "cancel": "1", "capo": "2", "chromatic": "1", "degree-alter": "1", "degree-value": "9", "diatonic": "0",
    "divisions": str(DIVISIONS), "duration": "24", "fifths": "2", "fingering": "3", "first": "3", "fret": "7",
    "inversion": "1", "kind": "minor", "mode": "dorian", "octave": "4", "octave-change": "-2", "offset": "12",
    "per-minute": "90", "pluck": "M", "root-alter": "1", "root-step": "F", "second": "1", "staff": "1",
    "staff-lines": "6", "step": "A", "string": "4", "syllabic": "begin", "tuning-alter": "1", "tuning-octave": "2",
    "tuning-step": "C", "type": "quarter", "voice": "1", "release/offset": "12", "other-play": "melody",
}
# The same of attributes: by name, or element@name.
ATTRIBUTES = {
    "measure@number": "7", "measure@text": "7a", "repeat@times": "3", "sound@tempo": "90", "sound@dynamics": "90",
    "staff-tuning@line": "2", "ending@number": "2", "lyric@number": "2", "number": "1", "sound@divisions": "24",
    "barline@divisions": "24", "instrument@id": "I2", "other-play@type": "fifthpeg-role",
}
# Where the schema takes any text, and the program knows some: one that it knows and one that it does not.
FREE_VALUES = {
    "measure/note/play/other-play": ["melody", "harmony"],
    "measure/note/play/other-play@type": ["fifthpeg-role", "vibrato"],
}
# What hangs between two notes, by the name of the element that has the type: where the other end goes.
SPANS = {"tie", "tied", "slur", "tuplet", "glissando", "slide", "hammer-on", "pull-off"}
FIVE_STRINGS = ["G4", "C3", "G3", "C4", "D4"]  # of a banjo, from line 1, as they sound


class Placed(NamedTuple):
    """An example in music, and the same music without it."""

    name: str  # "measure/note/pitch/step=G"
    kind: str
    xml: str
    without: str
    shown: str | None  # the attribute's value, or the element's text if it has one


def with_free_values(example: every_element.Example) -> list[every_element.Example]:
    """The example, and one for each of the values of FREE_VALUES that it may have."""
    path, _, attribute = example.name.partition("@")
    key = re.sub(r"^score-partwise/part/|^score-timewise/", "", example.name).replace("measure/part/", "measure/")
    more = []
    for value in FREE_VALUES.get(key, []):
        tree = etree.fromstring(example.xml)
        shown = tree.find("/".join(path.split("/")[1:]))
        if attribute:
            shown.set(attribute, value)
        else:
            shown.text = value
        more.append(every_element.Example(f"{example.name}={value}", "value", etree.tostring(tree, encoding="unicode")))
    return [example, *more]


def place(example: every_element.Example) -> Placed:
    tree = etree.fromstring(example.xml)
    measure = tree.find("part/measure") if tree.tag == "score-partwise" else tree.find("measure/part")
    name = re.sub(r"^score-partwise/part/|^score-timewise/", "", example.name)
    path, attribute, value = _taken_apart(name, measure)
    elements = path.split("/")[1:]
    shown = measure
    for step in elements if measure.tag == "measure" else elements[1:]:
        shown = shown.find(step)
    _give_meaning(measure, shown, attribute, value)
    value = shown.get(clark(attribute)) if attribute else None if len(shown) else (shown.text or "").strip() or None
    for less in _without(measure, shown, attribute):
        without = _tune(tree, less, elements)
        if not schema.errors(without):
            break
    return Placed(name, example.kind, _tune(tree, measure, elements), without, value)


def _taken_apart(name: str, measure):
    """The path, the attribute or None, and whether a value of a list is shown."""
    path, at, rest = name.partition("@")
    if at:
        attribute, equals, _ = rest.partition("=")
        return path, attribute, bool(equals)
    path, equals, _ = name.partition("=")
    return path, None, bool(equals)


# What stands in an element that the schema would let hold less: in place of its content, unless that is shown.
CONTENTS = {
    "key": "<fifths>2</fifths>",
    "time": "<beats>6</beats><beat-type>8</beat-type>",
    "swing": "<first>3</first><second>1</second>",
    "metronome": "<beat-unit>half</beat-unit><per-minute>90</per-minute>",
}


def _give_meaning(measure, shown, attribute, value) -> None:
    if shown.tag in CONTENTS:
        for child in list(shown):
            shown.remove(child)
        shown.extend(etree.fromstring(f"<content>{CONTENTS[shown.tag]}</content>"))
    for node in measure.iter():
        parent = node.getparent()
        text = TEXTS.get(f"{parent.tag}/{node.tag}", TEXTS.get(node.tag)) if parent is not None else None
        if text is not None and len(node) == 0 and node.text and not (node is shown and value and not attribute):
            node.text = text
        for key in node.attrib:
            meant = ATTRIBUTES.get(f"{node.tag}@{key}", ATTRIBUTES.get(key))
            if meant is not None and not (node is shown and value and key == attribute):
                node.set(key, meant)
        if node.tag == "time" and node.get("symbol") in ("common", "cut"):
            number = "4" if node.get("symbol") == "common" else "2"
            node.find("beats").text = node.find("beat-type").text = number
        if node.tag == "sound" and node.find("offset") is not None and not node.attrib:
            node.set("tempo", "90")


def _without(measure, shown, attribute):
    """The measure with less and less of what is shown: without the attribute, without the element, without what
    holds it, and so on up to the measure."""
    way = []
    node = shown
    while node is not measure:
        way.insert(0, node.getparent().index(node))
        node = node.getparent()
    for depth in range(len(way), -1, -1):
        less = copy.deepcopy(measure)
        inner = less
        for index in way[:depth]:
            inner = inner[index]
        if attribute and depth == len(way):
            del inner.attrib[clark(attribute)]
            yield less
        if inner is not less:
            inner.getparent().remove(inner)
            yield less
    less = copy.deepcopy(measure)
    for child in list(less):
        less.remove(child)
    if attribute == "number":
        less.set("number", "9")
    yield less


NAMESPACES = {"xlink": "http://www.w3.org/1999/xlink", "xml": "http://www.w3.org/XML/1998/namespace"}


def clark(attribute: str) -> str:
    prefix, colon, local = attribute.rpartition(":")
    return f"{{{NAMESPACES[prefix]}}}{local}" if colon else attribute


# -- the tune


def _tune(tree, measure, path) -> str:
    measure = copy.deepcopy(measure)
    children = list(measure)
    for child in children:
        measure.remove(child)
    first, last = _attributes(children), []
    before, middle, end = [], [], []
    notes = [child for child in children if child.tag == "note"]
    for child in children:
        if child.tag == "barline":
            _settle_barline(child)
            where = child.get("location", "right")
            (before if where == "left" else middle if where == "middle" else end).append(child)
        elif child.tag == "attributes":
            first += [] if first[0] is child else [child]
        elif child.tag == "print":
            before.append(child)
        elif child.tag == "backup":
            end += [child, _note("B4", voice="2")]
        elif child.tag == "forward":
            end.append(child)
        elif child.tag != "note":
            middle.append(child)
    row = _notes(notes, path)
    if any(child.tag == "forward" for child in children):
        row.pop()
    if path[-1:] == ["straight"]:
        before.append(etree.fromstring("<sound><swing><first>3</first><second>1</second></swing></sound>"))
    if any(sound.get("forward-repeat") for node in middle for sound in node.iter("sound")):
        before, middle = [*before, *middle], []
    if path[:2] == ["note", "instrument"]:
        _put(row[0], etree.fromstring('<instrument id="I1"/>'))
    ending = measure.xpath("//nothing")
    for node in [*before, *end, *first, *middle]:
        ending += node.xpath(".//ending | .//wavy-line")
    measure.extend([*first, *before, row[0], *middle, *row[1:], *end])
    second = etree.Element("measure", number="8")
    second.extend([_note("G4") for _ in range(4)])
    for node in ending:
        if node.tag == "ending" and node.get("type") == "start":
            second.append(etree.fromstring(
                f'<barline><ending number="{node.get("number")}" type="stop"/></barline>'))
        elif node.tag == "ending":
            measure.insert(0, etree.fromstring(
                f'<barline location="left"><ending number="{node.get("number")}" type="start"/></barline>'))
    root = etree.fromstring(
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Banjo</part-name>'
        '<score-instrument id="I1"><instrument-name>Banjo</instrument-name></score-instrument>'
        '<score-instrument id="I2"><instrument-name>Guitar</instrument-name></score-instrument>'
        "</score-part></part-list></score-partwise>")
    for key in tree.attrib:
        root.set(key, tree.get(key))
    part = etree.SubElement(root, "part", id="P1")
    if measure.tag == "part":  # timewise
        root.tag = "score-timewise"
        root.remove(part)
        outer = etree.SubElement(root, "measure", number="7")
        outer.append(measure)
        more = etree.SubElement(root, "measure", number="8")
        second.tag = "part"
        second.attrib.clear()
        second.set("id", "P1")
        more.append(second)
    else:
        part.extend([measure, second])
    return etree.tostring(root, encoding="unicode")


def _settle_barline(bar) -> None:
    repeat, ending = bar.find("repeat"), bar.find("ending")
    if repeat is not None and repeat.get("direction") == "forward" or ending is not None and ending.get("type") == "start":
        bar.set("location", "left")
    if repeat is not None and bar.find("bar-style") is None:
        bar.insert(0, etree.fromstring("<bar-style>light-heavy</bar-style>"))
    if len(bar) == 0 and bar.get("location"):
        bar.append(etree.fromstring("<bar-style>light-light</bar-style>"))


def _attributes(children) -> list:
    """What the tune starts with, made one with what the example says instead."""
    given = next((child for child in children if child.tag == "attributes"), None)
    basis = etree.fromstring(
        f"<attributes><divisions>{DIVISIONS}</divisions><key><fifths>1</fifths></key>"
        "<time><beats>4</beats><beat-type>4</beat-type></time>"
        "<transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose></attributes>")
    if given is None:
        return [basis]
    for child in given:
        for same in basis.findall(child.tag):
            basis.remove(same)
        if child.tag == "for-part":
            basis.remove(basis.find("transpose"))
        if child.tag == "staff-details":
            _settle_strings(child)
    for child in basis:
        if child.tag in ("divisions",):
            given.insert(len(given.xpath("footnote | level")), child)
        elif child.tag == "key":
            given.insert(len(given.xpath("footnote | level | divisions")), child)
        elif child.tag == "time":
            given.insert(len(given.xpath("footnote | level | divisions | key")), child)
        else:
            later = given.xpath("directive | measure-style")
            given.insert(given.index(later[0]) if later else len(given), child)
    return [given]


def _settle_strings(details) -> None:
    """All five strings, one of them as the example has it."""
    shown = details.find("staff-tuning")
    if shown is None:
        return
    at = details.index(shown)
    details.remove(shown)
    lines = details.find("staff-lines")
    if lines is None:
        details.insert(at, etree.fromstring("<staff-lines>5</staff-lines>"))
        at += 1
    for line, pitch in enumerate(FIVE_STRINGS, 1):
        if str(line) == shown.get("line"):
            tuning = shown
        else:
            tuning = etree.fromstring(
                f'<staff-tuning line="{line}"><tuning-step>{pitch[0]}</tuning-step>'
                f"<tuning-octave>{pitch[1]}</tuning-octave></staff-tuning>")
        details.insert(at, tuning)
        at += 1


def _note(pitch, voice="1", duration=DIVISIONS, kind="quarter"):
    return etree.fromstring(
        f"<note><pitch><step>{pitch[0]}</step><octave>{pitch[1]}</octave></pitch><duration>{duration}</duration>"
        f"<voice>{voice}</voice><type>{kind}</type></note>")


def _put(note, child) -> None:
    place = NOTE_ORDER.index(child.tag)
    for index, other in enumerate(note):
        if NOTE_ORDER.index(other.tag) > place:
            note.insert(index, child)
            return
    note.append(child)


def _notes(notes, path) -> list:
    """The four beats of the first measure, the example's note on the second."""
    row = [_note("G4"), _note("E5"), _note("B4"), _note("D5")]
    if not notes:
        if path[:1] == ["note"]:
            row[1] = etree.fromstring(f"<note><rest/><duration>{DIVISIONS}</duration></note>")
        return row
    note = notes[0]
    grace = note.find("grace")
    if grace is not None and path[1:2] != ["grace"]:
        note.remove(grace)
        grace = None
    if note.find("voice") is None:
        _put(note, etree.fromstring("<voice>1</voice>"))
    if note.find("rest[@measure='yes']") is not None:
        note.find("duration").text = str(4 * DIVISIONS)
        return [note]
    if note.find("type") is None:
        _put(note, etree.fromstring("<type>quarter</type>"))
    if grace is not None:
        return [row[0], *notes, *row[1:]]
    if note.find("duration") is None:
        _put(note, etree.fromstring(f"<duration>{DIVISIONS}</duration>"))
    if note.find("chord") is not None:
        return [row[0], note, *row[1:]]
    if note.find("dot") is not None:
        note.find("duration").text = str(DIVISIONS * 3 // 2)
        return [note, _note("B4", duration=DIVISIONS // 2, kind="eighth"), *row[2:]]
    if len(path) > 1 and path[1] == "type" and note.find("type").text in VALUES:
        return _of_value(note, note.find("type").text, row)
    if note.find(".//technical") is not None:
        _settle_technical(note)
    if note.find(".//tuplet") is not None or note.find("time-modification") is not None:
        return _triplet(note, row)
    for span in note.iter(*SPANS):
        _other_end(span, note, row)
    return [row[0], note, *row[2:]]


# Note values that the tune can hold beside what it is made of, in its divisions of a quarter.
VALUES = {"1024th", "512th", "256th", "128th", "64th", "32nd", "16th", "eighth", "half", "whole", "breve", "long",
          "maxima"}


def _of_value(note, value, row) -> list:
    lengths = {"eighth": 12, "16th": 6, "32nd": 3, "half": 48, "whole": 96, "breve": 192, "long": 384, "maxima": 768}
    length = lengths.get(value)
    if length is None:
        length = {"64th": "1.5", "128th": "0.75", "256th": "0.375", "512th": "0.1875", "1024th": "0.09375"}[value]
    note.find("duration").text = str(length)
    return [note, *row[1:]]


def _settle_technical(note) -> None:
    """What says one half of a place on the neck gets the other: one that would not be found without it."""
    technical = note.find(".//technical")
    names = {child.tag for child in technical}
    if "open-string" in names:
        note.find("pitch/step").text = "G"
    slurred = names & {"hammer-on", "pull-off"}  # on the string of the note beside it
    string, fret = ("3", "2") if slurred else ("4", "7")
    if (slurred or "fret" in names) and "string" not in names:
        technical.insert(0, etree.fromstring(f"<string>{string}</string>"))
    if (slurred or "string" in names) and "fret" not in names:
        technical.append(etree.fromstring(f"<fret>{fret}</fret>"))


def _triplet(note, row) -> list:
    """Three eighths in the time of two; the example is at the end that it shows."""
    thirds = [note, _note("B4", kind="eighth"), _note("A4", kind="eighth")]
    for third in thirds:
        third.find("duration").text = str(DIVISIONS // 3)
        third.find("type").text = "eighth"
        if third.find("time-modification") is None:
            _put(third, etree.fromstring("<time-modification><actual-notes>3</actual-notes>"
                                         "<normal-notes>2</normal-notes></time-modification>"))
    tuplet = note.find(".//tuplet")
    if tuplet is None:
        for at, kind in ((0, "start"), (2, "stop")):
            if thirds[at].find("notations") is None:
                _put(thirds[at], etree.fromstring(f'<notations><tuplet type="{kind}"/></notations>'))
            else:
                thirds[at].find("notations").append(etree.fromstring(f'<tuplet type="{kind}"/>'))
    else:
        stops = tuplet.get("type") == "stop"
        other = etree.fromstring(f'<tuplet type="{"start" if stops else "stop"}"/>')
        if tuplet.get("number"):
            other.set("number", tuplet.get("number"))
        notations = etree.SubElement(etree.Element("x"), "notations")
        notations.append(other)
        _put(thirds[2], notations)
        if stops:
            thirds.reverse()
    return [row[0], *thirds, *row[2:]]


def _other_end(span, note, row) -> None:
    kind = span.get("type")
    if kind not in ("start", "stop"):
        return
    partner = row[2] if kind == "start" else row[0]
    if span.tag in ("tie", "tied"):
        partner.replace(partner.find("pitch"), copy.deepcopy(note.find("pitch")))
    elif span.tag == "pull-off" and kind == "start" or span.tag == "hammer-on" and kind == "stop":
        partner.find("pitch/step").text = "G"
    elif span.tag == "pull-off":
        partner.find("pitch/step").text = "B"
    other = etree.Element(span.tag, type="stop" if kind == "start" else "start")
    if span.get("number"):
        other.set("number", span.get("number"))
    if span.tag == "tie":
        _put(partner, other)
        return
    if span.tag in ("hammer-on", "pull-off"):
        fret = {"G": 0, "A": 2, "B": 4}[partner.findtext("pitch/step")]
        technical = etree.Element("technical")
        technical.extend([etree.fromstring("<string>3</string>"), etree.fromstring(f"<fret>{fret}</fret>"), other])
        other = technical
    notations = etree.Element("notations")
    notations.append(other)
    _put(partner, notations)
