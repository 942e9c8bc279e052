"""What became of one thing that a MusicXML file said: is it in the output, does the output say the same in other
words, does the report name it, or was it dropped in silence?

Compared are always two runs: of a file that has the thing, and of the same file without it.
"""

from __future__ import annotations

import json
import re
import subprocess
from collections import Counter
from fractions import Fraction
from pathlib import Path

from lxml import etree
from program import PROGRAM

XLINK = "{http://www.w3.org/1999/xlink}"
XML = "{http://www.w3.org/XML/1998/namespace}"


def convert_all(folder: Path, documents: list[str]) -> list[dict]:
    """One run of the program for all of them: for each its report, and "facts" of its output, None if there is
    none."""
    folder.mkdir(exist_ok=True)
    distinct = list(dict.fromkeys(documents))
    results = {}
    batch = 2000  # as many as a command line surely takes
    for start in range(0, len(distinct), batch):
        names = []
        for number, document in enumerate(distinct[start:start + batch], start):
            names.append(f"{number}.musicxml")
            (folder / names[-1]).write_text(document, encoding="utf-8")
        # In their own octave, so that nothing differs but what is shown; those that have no place there, where they do.
        for transposed in ("0", "auto"):
            done = subprocess.run([PROGRAM, "convert", *names, "-d", "out", "--to", "musicxml", "--json", "--force",
                                   "--transpose", transposed], cwd=folder, capture_output=True, timeout=300, check=False)
            reports = json.loads(done.stdout)["files"]
            for report in reports:
                number = int(report["input"].split(".")[0])
                path = folder / "out" / report["input"]
                report["root"] = etree.parse(str(path)).getroot() if report["status"] == 0 else None
                report["facts"] = facts(report["root"]) if report["status"] == 0 else None
                results[distinct[number]] = report
            names = [report["input"] for report in reports if report["status"] != 0]
            if not names:
                break
    return [results[document] for document in documents]


def facts(root) -> Counter:
    """Everything that the measures of a document say: each text and attribute with the path that leads to it, and
    each element that is there. Times are in quarters, whatever the divisions."""
    found = Counter()
    divisions = [Fraction(1)]

    def walk(node, path):
        found[path] += 1
        text = (node.text or "").strip()
        if node.tag == "divisions":
            divisions[0] = Fraction(text)
        if len(node) == 0 and text:
            found[path, value_of(node.tag, text, divisions[0])] += 1
        for key, value in node.attrib.items():
            key = key.replace(XLINK, "xlink:").replace(XML, "xml:")
            found[f"{path}@{key}", value_of("", value, divisions[0])] += 1
        for child in node:
            if isinstance(child.tag, str):
                walk(child, f"{path}/{child.tag}")

    for measure in root.iter("measure"):
        children = measure.findall("part") or [measure]
        for child in children:
            walk(child, "measure" if child is measure else "measure/part")
    return found


def value_of(tag, text, divisions):
    if re.fullmatch(r"[+-]?\d+(\.\d+)?", text):
        number = Fraction(text)
        return number / divisions if tag in ("duration", "offset") else number
    return text


def told(report) -> Counter:
    """But for a title that is only the file's name, which differs from file to file."""
    return Counter({(one["slug"], one["text"]): one["count"] for one in report["told"]
                    if one["slug"] != "title-from-name"})


def told_more(with_it, without) -> list[tuple[str, str]]:
    """What the first report says beyond the second."""
    return list((told(with_it) - told(without)).keys())


def same(with_it, without) -> bool:
    """Whether the outputs say the same."""
    return with_it["facts"] == without["facts"]
