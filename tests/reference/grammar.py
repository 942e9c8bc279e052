"""Our grammar of MusicXML, asked in two ways: libxml2 with the generated form, and the program itself."""

from __future__ import annotations

import functools
import os
import subprocess
from pathlib import Path

from lxml import etree

ROOT = Path(__file__).resolve().parents[2]
SCHEMAS = ROOT / "schemas"
BUILD = Path(os.environ.get("FIFTHPEG_BUILD") or ROOT / "build")
VERDICT = BUILD / "tests" / "grammar_verdict"
STARTS = {"musicxml": {"score-partwise", "score-timewise"}, "container": {"container"}}


@functools.cache
def _compiled(name: str) -> etree.XMLSchema:
    return etree.XMLSchema(file=str(SCHEMAS / "generated" / f"{name}.xsd"))


def valid_by_lxml(document: bytes, name: str = "musicxml") -> bool:
    """By the generated form, and by what it starts with, which XML Schema leaves open."""
    root = etree.fromstring(document)
    return _compiled(name).validate(root) and root.tag in STARTS[name]


def faults_by_program(documents: list[bytes], what: str = "score") -> list[list[str]]:
    """For each document the kinds of findings that the program has, in order."""
    told = subprocess.run([VERDICT, what], input=b"".join(b"%d\n%b" % (len(d), d) for d in documents),
                          stdout=subprocess.PIPE, check=True)
    lines = told.stdout.decode().split("\n")
    assert lines.pop() == "" and len(lines) == len(documents)
    return [line.split() for line in lines]
