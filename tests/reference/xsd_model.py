"""Reads an XML Schema of the kind that MusicXML uses into plain data: which element may hold which others in which
order, with which attributes and values.

Two schemas that are read this way can be compared without trying files (see test_grammar_model.py), and files can be
made from one that use every part of it (see every_element.py). Only what such schemas use is understood; anything
else raises NotImplementedError rather than being passed over.
"""

from __future__ import annotations

import functools
import pathlib
from collections import deque
from dataclasses import dataclass, field

import lxml.etree as ET

XS = "{http://www.w3.org/2001/XMLSchema}"
NAMESPACES = {
    "xml": "http://www.w3.org/XML/1998/namespace",
    "xlink": "http://www.w3.org/1999/xlink",
}


@dataclass(frozen=True)
class Atomic:
    """One built-in type with the facets that restrict it; enumeration None means that any value may stand."""

    base: str
    enumeration: tuple[str, ...] | None = None
    bounds: frozenset[tuple[str, str]] = frozenset()
    patterns: tuple[str, ...] = ()

    def normal(self) -> Atomic:
        """Without bounds that the built-in type has anyway, and with the values in one order."""
        implied = {"positiveInteger": ("minInclusive", "1"), "nonNegativeInteger": ("minInclusive", "0")}
        bounds = self.bounds - {implied.get(self.base)}
        return Atomic(self.base, self.enumeration and tuple(sorted(self.enumeration)), bounds, self.patterns)


Simple = tuple[Atomic, ...]  # the members of a union, or just one


@dataclass(frozen=True)
class Attribute:
    name: str  # in Clark notation, {namespace}name, when it has a namespace
    type: Simple
    required: bool
    default: str | None = None
    fixed: str | None = None


@dataclass
class Element:
    name: str
    attributes: dict[str, Attribute] = field(default_factory=dict)
    text: Simple | None = None
    content: Automaton | None = None  # None: no element may stand in it


@dataclass(eq=False)
class Automaton:
    """The order in which elements may follow one another; state 0 is the start."""

    steps: list[dict[str, tuple[int, Element]]]
    final: set[int]

    def names(self) -> list[str]:
        seen = {name: None for step in self.steps for name in step}
        return list(seen)

    @functools.cache
    def shortest_through(self, name: str) -> list[str]:
        """The shortest allowed row of elements with `name` among them."""
        best = None
        for state, step in enumerate(self.steps):
            if name not in step:
                continue
            before, after = self._path(0, {state}), self._path(step[name][0], self.final)
            if before is not None and after is not None:
                row = before + [name] + after
                if best is None or len(row) < len(best):
                    best = row
        assert best is not None, name
        return best

    @functools.cache
    def shortest(self) -> list[str]:
        row = self._path(0, self.final)
        assert row is not None
        return row

    def child(self, row: list[str], index: int) -> Element:
        state = 0
        for name in row[:index]:
            state = self.steps[state][name][0]
        return self.steps[state][row[index]][1]

    def _path(self, start: int, goals: set[int]) -> list[str] | None:
        came: dict[int, tuple[int, str] | None] = {start: None}
        queue = deque([start])
        while queue:
            state = queue.popleft()
            if state in goals:
                row: list[str] = []
                while came[state] is not None:
                    state, name = came[state]
                    row.append(name)
                return row[::-1]
            for name, (target, _) in self.steps[state].items():
                if target not in came:
                    came[target] = (state, name)
                    queue.append(target)
        return None


class Schema:
    """The elements that a file may start with, and from them everything else."""

    def __init__(self, xsd):
        """`xsd`: the path of a schema whose imports lie beside it, or the paths of its files by their names, the
        first of which is the one to start with."""
        self._top: dict[tuple[str, str], ET._Element] = {}
        self._elements: dict[ET._Element, Element] = {}
        if isinstance(xsd, dict):
            files = {name: pathlib.Path(path) for name, path in xsd.items()}
        else:
            files = {path.name: path for path in pathlib.Path(xsd).parent.glob("*.xsd")}
            files = {pathlib.Path(xsd).name: pathlib.Path(xsd), **files}
        self._read(next(iter(files)), files, set())

    def _read(self, name: str, files: dict[str, pathlib.Path], seen: set[str]) -> None:
        if name in seen:
            return
        seen.add(name)
        root = ET.parse(str(files[name]), ET.XMLParser(load_dtd=False, no_network=True)).getroot()
        target = root.get("targetNamespace")
        for node in root.iterchildren(ET.Element):
            kind = ET.QName(node).localname
            if kind == "import":
                # Imports are looked for among the files, whatever place they name.
                if node.get("schemaLocation"):
                    self._read(node.get("schemaLocation").rsplit("/", 1)[-1], files, seen)
            elif kind != "annotation":
                name = node.get("name")
                self._top[kind, f"{{{target}}}{name}" if target else name] = node

    def roots(self) -> dict[str, Element]:
        """The elements without a namespace: what imported schemas declare besides attributes is of no use here."""
        return {name: self.element(node) for (kind, name), node in self._top.items()
                if kind == "element" and not name.startswith("{")}

    def element(self, node: ET._Element) -> Element:
        if node.get("ref"):
            node = self._top["element", node.get("ref")]
        if node in self._elements:
            return self._elements[node]
        element = self._elements[node] = Element(node.get("name"))
        if node.get("type"):
            name = node.get("type")
            if ("complexType", name) in self._top:
                self._complex(self._top["complexType", name], element)
            else:
                element.text = self._simple_named(name)
        else:
            for child in _parts(node):
                if child.tag == XS + "complexType":
                    self._complex(child, element)
                elif child.tag == XS + "simpleType":
                    element.text = self._simple(child)
                else:
                    raise NotImplementedError(child.tag)
        return element

    # -- types

    def _complex(self, node: ET._Element, element: Element) -> None:
        particles, extension = [], False
        if node.get("mixed") == "true":
            raise NotImplementedError("mixed")
        for child in _parts(node):
            kind = ET.QName(child).localname
            if kind == "simpleContent":
                (extended,) = _parts(child)
                self._simple_extension(extended, element)
            elif kind == "complexContent":
                (extended,) = _parts(child)
                self._collect_extension(extended, element, particles)
                extension = True
            elif kind in ("sequence", "choice", "group"):
                particles.append(child)
            else:
                self._attribute(child, element.attributes)
        if particles or extension:
            element.content = self._automaton(particles) if particles else None

    def _collect_extension(self, node, element: Element, particles: list) -> None:
        base = self._top["complexType", node.get("base")]
        for part in list(_parts(base)) + list(_parts(node)):
            if part.tag == XS + "complexContent":
                self._collect_extension(_parts(part)[0], element, particles)
            elif part.tag in (XS + "sequence", XS + "choice", XS + "group"):
                particles.append(part)
            else:
                self._attribute(part, element.attributes)

    def _simple_extension(self, node, element: Element) -> None:
        base = node.get("base")
        if ("complexType", base) in self._top:
            self._complex(self._top["complexType", base], element)
        else:
            element.text = self._simple_named(base)
        for part in _parts(node):
            self._attribute(part, element.attributes)

    def _attribute(self, node, attributes: dict[str, Attribute]) -> None:
        if node.tag == XS + "attributeGroup":
            for part in _parts(self._top["attributeGroup", node.get("ref")]):
                self._attribute(part, attributes)
            return
        if node.tag != XS + "attribute":
            raise NotImplementedError(node.tag)
        declared, name = node, node.get("name")
        if node.get("ref"):
            prefix, local = node.get("ref").split(":")
            name = f"{{{NAMESPACES[prefix]}}}{local}"
            declared = self._top["attribute", name]
        if declared.get("type"):
            simple = self._simple_named(declared.get("type"))
        else:
            (inner,) = _parts(declared)
            simple = self._simple(inner)
        attributes[name] = Attribute(
            name, simple, node.get("use") == "required", node.get("default"), node.get("fixed")
        )

    def _simple_named(self, name: str) -> Simple:
        if name.startswith("xs:"):
            return (Atomic(name[3:]),)
        if ":" in name:
            prefix, local = name.split(":")
            name = f"{{{NAMESPACES[prefix]}}}{local}"
        return self._simple(self._top["simpleType", name])

    def _simple(self, node) -> Simple:
        (how,) = _parts(node)
        if how.tag == XS + "union":
            members: list[Atomic] = []
            for name in (how.get("memberTypes") or "").split():
                members.extend(self._simple_named(name))
            for part in _parts(how):
                members.extend(self._simple(part))
            return tuple(members)
        if how.tag != XS + "restriction":
            raise NotImplementedError(how.tag)
        if how.get("base"):
            base, facets = self._simple_named(how.get("base")), _parts(how)
        else:
            inner, *facets = _parts(how)
            base = self._simple(inner)
        if not facets:
            return base
        if len(base) != 1:
            raise NotImplementedError("a restricted union")
        values, bounds, patterns = [], dict(base[0].bounds), list(base[0].patterns)
        for facet in facets:
            kind, value = ET.QName(facet).localname, facet.get("value")
            if kind == "enumeration":
                values.append(value)
            elif kind == "pattern":
                patterns.append(value)
            else:
                bounds[kind] = value
        enumeration = tuple(values) if values else base[0].enumeration
        return (Atomic(base[0].base, enumeration, frozenset(bounds.items()), tuple(patterns)),)

    # -- content: positions and what may follow each (Glushkov's construction)

    def _automaton(self, particles: list) -> Automaton:
        positions: list[tuple[str, object]] = [("", None)]
        follow: dict[int, set[int]] = {0: set()}

        def sequence(parts):
            nullable, first, last = True, set(), set()
            for n, f, l in parts:
                for p in last:
                    follow[p] |= f
                if nullable:
                    first |= f
                last = last | l if n else set(l)
                nullable = nullable and n
            return nullable, first, last

        def once(node):
            kind = ET.QName(node).localname
            if kind == "element":
                positions.append((node.get("name") or node.get("ref"), node))
                p = len(positions) - 1
                follow[p] = set()
                return False, {p}, {p}
            if kind == "group":
                (inner,) = _parts(self._top["group", node.get("ref")])
                return repeated(inner)
            parts = [repeated(part) for part in _parts(node)]
            if kind == "sequence":
                return sequence(parts)
            if kind == "choice":
                return (
                    any(n for n, _, _ in parts),
                    set().union(*(f for _, f, _ in parts)),
                    set().union(*(l for _, _, l in parts)),
                )
            raise NotImplementedError(kind)

        def repeated(node):
            least, most = int(node.get("minOccurs", "1")), node.get("maxOccurs", "1")
            copies = [once(node) for _ in range(max(least, 1 if most == "unbounded" else int(most)))]
            if most == "unbounded":
                n, f, l = copies[-1]
                for p in l:
                    follow[p] |= f
                if least == 0:
                    copies[-1] = True, f, l
                return sequence(copies)
            needed, optional = copies[:least], copies[least:]
            whole = None
            for n, f, l in reversed(optional):  # a, then perhaps more: (a (a a?)?)?
                inner = (n, f, l) if whole is None else sequence([(n, f, l), whole])
                whole = True, inner[1], inner[2]
            return sequence(needed + ([whole] if whole else []))

        nullable, first, last = sequence([repeated(p) for p in particles])
        follow[0] = first
        steps: list[dict[str, tuple[int, Element]]] = []
        for p in range(len(positions)):
            step: dict[str, tuple[int, Element]] = {}
            for q in sorted(follow[p]):
                name, node = positions[q]
                if name in step:
                    raise ValueError(f"{name} could stand for two things in one place")
                step[name] = (q, node)  # elements are filled in below: content may hold itself
            steps.append(step)
        final = set(last) | ({0} if nullable else set())
        for step in steps:
            for name, (q, node) in step.items():
                step[name] = (q, self.element(node))
        return Automaton(steps, final)


def _parts(node) -> list:
    return [c for c in node.iterchildren(ET.Element) if c.tag != XS + "annotation"]


def differences(ours: Element, theirs: Element, seen: set | None = None, path: str = "") -> list[str]:
    """Every difference between what two elements allow, down to the last value. Patterns are left to the caller:
    two can be written differently and mean the same."""
    seen = set() if seen is None else seen
    if (id(ours), id(theirs)) in seen:
        return []
    seen.add((id(ours), id(theirs)))
    path = f"{path}/{ours.name}"
    found = []

    def says(what: str, a, b) -> None:
        if a != b:
            found.append(f"{path}: {what}: ours {a}, published {b}")

    says("attributes", sorted(ours.attributes), sorted(theirs.attributes))
    for name in ours.attributes.keys() & theirs.attributes.keys():
        a, b = ours.attributes[name], theirs.attributes[name]
        says(f"@{name} required", a.required, b.required)
        says(f"@{name} values", without_patterns(a), without_patterns(b))
    says("text", text_type(ours), text_type(theirs))
    if ours.content is None or theirs.content is None:
        says("content", ours.content is None, theirs.content is None)
        return found
    queue, visited = deque([(0, 0)]), {(0, 0)}
    while queue:
        x, y = queue.popleft()
        a, b = ours.content.steps[x], theirs.content.steps[y]
        says(f"what may stand in place {x}", sorted(a), sorted(b))
        says(f"whether it may end in place {x}", x in ours.content.final, y in theirs.content.final)
        for name in a.keys() & b.keys():
            found += differences(a[name][1], b[name][1], seen, path)
            pair = a[name][0], b[name][0]
            if pair not in visited:
                visited.add(pair)
                queue.append(pair)
    return found


def without_patterns(attribute: Attribute):
    if attribute.fixed is not None:
        return {("fixed", attribute.fixed)}
    values = attribute.type
    if len(values) == 1 and values[0].enumeration and len(values[0].enumeration) == 1:
        return {("fixed", values[0].enumeration[0])}
    return _members(values)


def text_type(element: Element):
    return None if element.text is None else _members(element.text)


def _members(simple: Simple):
    merged: dict = {}
    for atom in simple:
        atom = atom.normal()
        key = atom.base, atom.bounds, bool(atom.patterns), atom.enumeration is None
        merged.setdefault(key, set()).update(atom.enumeration or ())
    return {(key, frozenset(values)) for key, values in merged.items()}


def everything(roots) -> list[Element]:
    """All elements that can be reached, each once, in the order of the files."""
    seen: dict[int, Element] = {}
    queue = deque(roots)
    while queue:
        element = queue.popleft()
        if id(element) in seen:
            continue
        seen[id(element)] = element
        if element.content:
            for step in element.content.steps:
                queue.extend(child for _, child in step.values())
    return list(seen.values())
