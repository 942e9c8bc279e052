"""Files with one thing changed: what a slip of the pen, a faulty program or a bad merge does to a MusicXML file.

The same file and seed give the same mutants, on every machine. A mutant need not be wrong: what it is has to be
judged by somebody else.
"""

from __future__ import annotations

import random
from typing import Iterator, NamedTuple

from lxml import etree

NUMBERS = ["-1", "0", "1.5", "17", "129", "1e3", "100000", "+2", "007", ".5", "1.", "-181", "NaN", " 3 ", "1 2"]
WORDS = ["", " ", "x", "Yes", "YES", "yes ", "start", "stop", "none", "H", "G", "quarter", "Quarter", "#FFF", "red",
         "#12345G", "1,2", "1, 2", "1,,2", "other", "2024-02-30", "2024-05-31", "2024-05-31Z", "-", "a b", "\u00e9"]
ELEMENTS = ["note", "chord", "rest", "step", "fret", "p", "attributes", "measure", "words", "tie", "foo", "Note",
            "grace", "part", "staff", "voice", "type", "duration", "link", "footnote", "level", "extend", "offset"]
ATTRIBUTES = ["type", "number", "id", "placement", "default-x", "color", "print-object", "line", "size", "text",
              "smufl", "name", "xml", "Default-x", "{http://www.w3.org/XML/1998/namespace}lang",
              "{http://www.w3.org/1999/xlink}href"]


class Mutant(NamedTuple):
    what: str
    xml: bytes


def mutants(xml: bytes, seed: int | str, count: int) -> Iterator[Mutant]:
    """Up to `count` different mutants of a file."""
    chance = random.Random(f"{seed}")
    made = {_bytes(etree.fromstring(xml))}
    for _ in range(8 * count):
        if not count:
            return
        root = etree.fromstring(xml)
        change = chance.choice(CHANGES)
        if change(root, chance) is False:
            continue
        changed = _bytes(root)
        if changed not in made:
            made.add(changed)
            count -= 1
            yield Mutant(change.__name__.strip("_"), changed)


def _bytes(root) -> bytes:
    return etree.tostring(root, encoding="utf-8", xml_declaration=True)


def _inner(root, chance):
    """Any element but the outermost; None where there is no other."""
    elements = [e for e in root.iter(etree.Element) if e is not root]
    return chance.choice(elements) if elements else None


def _any(root, chance):
    return chance.choice(list(root.iter(etree.Element)))


def _copy(element):
    return etree.fromstring(etree.tostring(element, with_tail=False))


def removed(root, chance):
    element = _inner(root, chance)
    if element is None:
        return False
    element.getparent().remove(element)


def doubled(root, chance):
    element = _inner(root, chance)
    if element is None:
        return False
    element.addnext(_copy(element))


def swapped(root, chance):
    element = _inner(root, chance)
    after = element.getnext() if element is not None else None
    if after is None:
        return False
    after.addnext(element)


def moved(root, chance):
    """To the end of an element that is not its own."""
    element = _inner(root, chance)
    if element is None:
        return False
    target = _any(root, chance)
    if target is element or element in target.iterancestors():
        return False
    target.append(element)


def unwrapped(root, chance):
    """What an element holds, in its stead."""
    element = _inner(root, chance)
    if element is None or not len(element):
        return False
    for child in reversed(element):
        element.addnext(child)
    element.getparent().remove(element)


def renamed(root, chance):
    _any(root, chance).tag = chance.choice(ELEMENTS)


def misspelled(root, chance):
    element = _any(root, chance)
    name = list(element.tag)
    at = chance.randrange(len(name))
    if chance.random() < 0.5 and len(name) > 1:
        del name[at]
    else:
        name.insert(at, chance.choice("aeix"))
    if name[0] in "-." or name[0].isdigit():
        return False
    element.tag = "".join(name)


def inserted(root, chance):
    element = _any(root, chance)
    element.insert(chance.randrange(len(element) + 1), etree.Element(chance.choice(ELEMENTS)))


def attribute_dropped(root, chance):
    having = [e for e in root.iter(etree.Element) if e.attrib]
    if not having:
        return False
    element = chance.choice(having)
    del element.attrib[chance.choice(sorted(element.attrib))]


def attribute_added(root, chance):
    _any(root, chance).set(chance.choice(ATTRIBUTES), chance.choice(WORDS + NUMBERS))


def attribute_changed(root, chance):
    having = [e for e in root.iter(etree.Element) if e.attrib]
    if not having:
        return False
    element = chance.choice(having)
    element.set(chance.choice(sorted(element.attrib)), chance.choice(WORDS + NUMBERS))


def value_changed(root, chance):
    leaves = [e for e in root.iter(etree.Element) if not len(e)]
    chance.choice(leaves).text = chance.choice(WORDS + NUMBERS)


def text_added(root, chance):
    element = _any(root, chance)
    if chance.random() < 0.5 or element is root:
        element.text = (element.text or "") + chance.choice(["x", "text", " ", "\n", "5"])
    else:
        element.tail = (element.tail or "") + chance.choice(["x", "text", " ", "5"])


def in_a_namespace(root, chance):
    element = _any(root, chance)
    element.tag = "{urn:elsewhere}" + element.tag


CHANGES = [removed, doubled, swapped, moved, unwrapped, renamed, misspelled, inserted, attribute_dropped,
           attribute_added, attribute_changed, value_changed, text_added, in_a_namespace]
