"""Small MusicXML files that between them use every element, every attribute and every listed value of a schema.

    for example in generate(schema.locate()):
        example.name   "score-partwise/part/measure/note/pitch/step=G": where it is, and what
        example.kind   "element", "attribute" or "value"
        example.xml    a whole file, as small as the schema lets it be

An element is shown once in each kind of element that may hold it; an attribute and a value once for each kind of
element that has it. Numbers are shown at the ends of their range. The files are valid by construction: each holds
what the schema asks for and what is shown, and nothing else.
"""

from __future__ import annotations

import re
from collections import deque
from typing import Iterator, NamedTuple

from lxml import etree
from xsd_model import Atomic, Attribute, Element, Schema, Simple

# One of these fits each form that a value may have to have.
FORMED = [
    "1", "1,2", "#40800080", "Times, serif", "accidentalSharp", "coda", "segno", "lyricsElision", "pictBell",
    "wiggleTrill", "2024-05-31", "text",
]


class Example(NamedTuple):
    name: str
    kind: str
    xml: str


def inside_measure(example: Example) -> bool:
    return re.match(r"score-\w+/(part/measure|measure/part)(/|@|=|$)", example.name) is not None


def generate(xsd) -> Iterator[Example]:
    """`xsd` is what Schema takes: a path, or where each of its files is."""
    model = Schema(xsd)
    roots = model.roots()
    queue = deque([[element] for name, element in roots.items() if name.startswith("score-")])
    shown = {id(path[0]) for path in queue}
    for path in queue:
        yield Example(_name(path), "element", _file(path))
    while queue:
        path = queue.popleft()
        element = path[-1]
        yield from _attributes(path)
        yield from _values(path)
        if element.content is None:
            continue
        # Every name, and the declaration that stands behind it.
        for name, child in sorted({name: step[name][1] for step in element.content.steps
                                   for name in step}.items()):
            yield Example(_name([*path, child]), "element", _file([*path, child]))
            if id(child) not in shown:
                shown.add(id(child))
                queue.append([*path, child])


def _attributes(path: list[Element]) -> Iterator[Example]:
    for attribute in path[-1].attributes.values():
        short = _short(attribute)
        yield Example(f"{_name(path)}@{short}", "attribute", _file(path, attribute, _example(attribute)))
        values = _all_values(attribute.type) if attribute.fixed is None else [attribute.fixed]
        for value in values:
            yield Example(f"{_name(path)}@{short}={value}", "value", _file(path, attribute, value))


def _values(path: list[Element]) -> Iterator[Example]:
    for value in _all_values(path[-1].text or ()):
        yield Example(f"{_name(path)}={value}", "value", _file(path, text=value))


def _name(path: list[Element]) -> str:
    return "/".join(element.name for element in path)


def _short(attribute: Attribute) -> str:
    name = etree.QName(attribute.name)
    prefix = {None: "", "http://www.w3.org/1999/xlink": "xlink:"}.get(name.namespace, "xml:")
    return prefix + name.localname


# -- values


def _all_values(simple: Simple) -> list[str]:
    """Every listed value, and the ends of every range."""
    values: list[str] = []
    for atom in simple:
        if atom.enumeration is not None:
            values += atom.enumeration
        else:
            values += [value for kind, value in sorted(atom.bounds) if kind.endswith("Inclusive")]
    return list(dict.fromkeys(values))


def _example(attribute: Attribute) -> str:
    return attribute.fixed if attribute.fixed is not None else example_of(attribute.type)


def example_of(simple: Simple) -> str:
    return _example_of_atom(simple[0])


def _example_of_atom(atom: Atomic) -> str:
    if atom.enumeration is not None:
        return atom.enumeration[0]
    if atom.patterns:
        forms = [re.compile(python_pattern(pattern)) for pattern in atom.patterns]
        return next(text for text in FORMED if all(form.fullmatch(text) for form in forms) and
                    (atom.base != "date" or text.count("-") == 2))
    bounds = dict(atom.bounds)
    if atom.base in ("decimal", "integer", "positiveInteger", "nonNegativeInteger"):
        return bounds.get("minInclusive", "1")
    return {"language": "en", "anyURI": "urn:a", "date": "2024-05-31", "ID": "", "IDREF": "P1"}.get(atom.base, "text")


def python_pattern(pattern: str) -> str:
    """A pattern of XML Schema in Python's syntax; \\c is a character of a name."""
    return pattern.replace(r"[\c", r"[\w.:-").replace(r"\c", r"[\w.:-]")


# -- files


def _file(path: list[Element], attribute: Attribute | None = None, value: str | None = None,
          text: str | None = None) -> str:
    return _Builder().file(path, attribute, value, text)


class _Builder:
    def __init__(self):
        self.ids = 0

    def file(self, path, attribute, value, text) -> str:
        root = self._start(path[0], path[0] is path[-1] and (attribute, value))
        node = root
        for depth in range(1, len(path) + 1):
            element = path[depth - 1]
            last = depth == len(path)
            if element.content is None:
                break
            row = element.content.shortest() if last else element.content.shortest_through(path[depth].name)
            chosen = None if last else self._index(element, row, path[depth])
            inner = None
            for index, name in enumerate(row):
                if index == chosen:
                    shown = depth + 1 == len(path)
                    inner = self._start(path[depth], shown and (attribute, value))
                    node.append(inner)
                else:
                    node.append(self._whole(element.content.child(row, index)))
            if inner is None:
                break
            node = inner
        if text is not None:
            node.text = text
        return etree.tostring(root, encoding="unicode")

    @staticmethod
    def _index(element: Element, row: list[str], child: Element) -> int:
        return next(index for index, name in enumerate(row)
                    if name == child.name and element.content.child(row, index).name == child.name)

    def _start(self, element: Element, shown=None):
        """An element with the attributes it must have, one that is shown, and its text; without its children."""
        node = etree.Element(element.name)
        for attribute in element.attributes.values():
            if attribute.required:
                node.set(attribute.name, self._value(element, attribute, None))
        if shown and shown[0] is not None:
            node.set(shown[0].name, self._value(element, *shown))
        if element.name.startswith("score-p") and "version" in element.attributes:
            node.set("version", node.get("version") or "4.0")
        if element.text is not None and element.content is None:
            node.text = example_of(element.text)
        return node

    def _value(self, element: Element, attribute: Attribute, value: str | None) -> str:
        base = attribute.type[0].base
        if base == "ID":
            if element.name == "score-part":
                return "P1"  # what all references refer to
            self.ids += 1
            return f"i{self.ids}"
        return _example(attribute) if value is None else value

    def _whole(self, element: Element):
        node = self._start(element)
        if element.content is not None:
            row = element.content.shortest()
            for index in range(len(row)):
                node.append(self._whole(element.content.child(row, index)))
        return node
