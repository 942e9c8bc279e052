"""Writes schemas/generated anew: python tests/reference/generate_grammar.py [FOLDER]

trang makes XML Schema of our grammars, with one choice inside another for each pattern that has a name. For an
element that holds a mixture of dozens of others libxml2 then compiles three times as long, so a | (b | c) is
written as a | b | c, which means the same.
"""
from __future__ import annotations

import copy
import subprocess
import sys
from pathlib import Path

from lxml import etree

SCHEMAS = Path(__file__).resolve().parents[2] / "schemas"
GROUP, CHOICE = (f"{{http://www.w3.org/2001/XMLSchema}}{name}" for name in ("group", "choice"))


def _occurs_once(part: etree._Element) -> bool:
    return part.get("minOccurs") is None and part.get("maxOccurs") is None


def flatten_choices(schema: etree._Element) -> None:
    groups = {group.get("name"): group[0] for group in schema.iterfind(GROUP)}

    def choice_in(part):
        """The choice that a part of a choice amounts to, or None."""
        if part.tag == GROUP and _occurs_once(part):
            part = groups[part.get("ref")]
        return part if part.tag == CHOICE and _occurs_once(part) else None

    def flatten(node):
        at = 0
        while at < len(node):
            inner = choice_in(node[at]) if node.tag == CHOICE else None
            if inner is None:
                flatten(node[at])
                at += 1
            else:  # its alternatives take its place, and are looked at in their turn
                node[at:at + 1] = copy.deepcopy(inner)[:]

    flatten(schema)


def generate(folder: Path) -> None:
    for name in ("musicxml", "container"):
        path = folder / f"{name}.xsd"
        subprocess.run(["trang", "-o", "disable-abstract-elements", SCHEMAS / f"{name}.rnc", path], check=True)
        tree = etree.parse(path)
        flatten_choices(tree.getroot())
        etree.indent(tree)
        path.write_bytes(etree.tostring(tree, xml_declaration=True, encoding="UTF-8") + b"\n")


if __name__ == "__main__":
    generate(Path(sys.argv[1]) if len(sys.argv) > 1 else SCHEMAS / "generated")
