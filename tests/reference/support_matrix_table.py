"""schemas/support-matrix.md, what is carried, said in other words and reported: made from what the program does.

    support_matrix_table.py            prints it
    support_matrix_table.py --write    writes the file

FIFTHPEG names the program. The tests make it again and compare (test_support_matrix_table.py).
"""

from __future__ import annotations

import functools
import re
import sys
import tempfile
from collections import defaultdict
from pathlib import Path
from typing import NamedTuple

import every_element
import schema
import support_matrix_judge
import support_matrix_midi
import support_matrix_music
import support_matrix_rules as rules

PAGE = Path(__file__).resolve().parents[2] / "schemas" / "support-matrix.md"


class Verdict(NamedTuple):
    name: str  # "measure/note/pitch/step=G"
    key: str  # the same without a value, and of both kinds of document alike: "measure/note/pitch/step"
    kind: str  # element, attribute, value
    status: str  # carried, translated, told, layout, nothing; or silent, which none may be
    how: str = ""


def key_of(name: str) -> str:
    """Of the path of an example, what both kinds of score share."""
    return re.sub(r"^measure/part\b(?!@)", "measure", re.sub(r"^score-partwise/part/|^score-timewise/", "", name))


def judge(placed: support_matrix_music.Placed, with_it: dict, without: dict) -> Verdict:
    name, equals, value = placed.name.partition("=")
    key = key_of(name)
    path, _, attribute = key.partition("@")

    def verdict(status, how=""):
        return Verdict(placed.name, key, placed.kind, status, how)

    if with_it["status"] != 0:
        return verdict("silent", f"status {with_it['status']}: {with_it['error']['what']}")
    # Whole elements that are named as left out take with them what is in them.
    slugs = {one["slug"] for one in with_it["told"]}
    for step in path.split("/")[1:]:
        if f"musicxml-element-{step}" in slugs:
            return verdict("told", step)
    for pattern, slug, word in rules.TOLD_OTHERWISE:
        if re.fullmatch(pattern, placed.name) or re.fullmatch(pattern, name):
            texts = [one["text"] for one in with_it["told"] if one["slug"] == slug]
            if any(word in text for text in texts):
                return verdict("told", path.rsplit("/", 1)[1])
    more = support_matrix_judge.told_more(with_it, without)
    if attribute and any(slug == f"musicxml-attribute-{attribute}" for slug, _ in more):
        return verdict("told", "@" + attribute)
    # Nothing that could be lost: what the standard says holds anyway, and elements that only hold others.
    if equals and rules.is_usual(key, value) or not equals and placed.kind == "element" and key in rules.HOLDERS:
        if key in rules.HOLDERS or support_matrix_judge.same(with_it, without):
            return verdict("nothing")
    for pattern, how, check in rules.TRANSLATED:
        if re.fullmatch(pattern, key) or re.fullmatch(pattern, placed.name):
            if check(with_it, without):
                return verdict("translated", how)
            return verdict("silent", f"not as said: {how}")
    if _is_carried(key, placed, with_it, without):
        return verdict("carried")
    if "musicxml-layout" in slugs:
        layout = [step for step in path.split("/")[1:] if step in rules.LAYOUT_ELEMENTS]
        if layout:
            return verdict("layout", layout[0])
        told_again = path in rules.LAYOUT_HOLDERS or any(slug == "musicxml-layout" for slug, _ in more)
        if attribute in rules.layout_attributes() and told_again:
            return verdict("layout", "@" + attribute)
        if rules.is_printed_only(placed.name, key) and any(slug == "musicxml-layout" for slug, _ in more):
            return verdict("layout", f"@{attribute}" if attribute else path.rsplit("/", 1)[1])
    return verdict("silent", ", ".join(slug for slug, _ in more) or "nothing told")


def _is_carried(key, placed, with_it, without) -> bool:
    """Whether the output has it in the same place with the same value, more often than without it; or just as often,
    where the rest of the file says the same again."""
    value = _value_of(placed, key)
    fact = key if value is None else (key, value)
    has, had = with_it["facts"][fact], without["facts"][fact]
    return has > had or has == had > 0 and any(re.fullmatch(one, key) for one in rules.SAID_TWICE)


def _value_of(placed, key):
    """The value or text that the example shows, None of an element without text, and of what is usual: the output
    need not say it."""
    if placed.shown is None or "@" not in key and rules.is_usual(key, placed.shown):
        return None
    element = "" if "@" in key else key.rsplit("/", 1)[-1]
    return support_matrix_judge.value_of(element, placed.shown, support_matrix_music.DIVISIONS)


@functools.cache
def examples() -> list[support_matrix_music.Placed]:
    return [support_matrix_music.place(one) for example in every_element.generate(schema.locate())
            if every_element.inside_measure(example) for one in support_matrix_music.with_free_values(example)]


@functools.cache
def verdicts() -> list[Verdict]:
    placed = [one for one in examples() if not rules.is_end_of_range(one.name)]
    # Where all values are shown, the first of them need not be shown again.
    listed = {one.name.partition("=")[0] for one in placed if one.kind == "value" and not one.name.endswith("=")}
    placed = [one for one in placed if one.name not in listed]
    with tempfile.TemporaryDirectory() as folder:
        reports = support_matrix_judge.convert_all(Path(folder), [xml for one in placed for xml in (one.xml, one.without)])
    return [judge(one, reports[2 * index], reports[2 * index + 1]) for index, one in enumerate(placed)]


# -- the table


def _statuses() -> dict[str, set[str]]:
    """By key: all that became of it, by value."""
    found = defaultdict(set)
    for one in verdicts():
        found[one.key].add((one.status, one.how))
    return found


ORDER = ["carried", "translated", "told", "layout"]


class Row(NamedTuple):
    key: str
    status: str
    how: str  # of translated
    starred: bool  # other values fare otherwise
    whole: bool  # told by its own name, not by that of what it stands in


@functools.cache
def _rows() -> list[Row]:
    rows = []
    statuses = _statuses()
    for key, outcomes in statuses.items():
        kinds = {kind for kind, _ in outcomes} - {"nothing"}
        if not kinds:  # holds others: as the best of these
            inside = {kind for other in statuses if other.startswith((key + "/", key + "@"))
                      for kind, _ in statuses[other]}
            if "carried" not in inside:
                continue
            kinds = {"carried"}
        status = next((kind for kind in ORDER if kind in kinds), "silent")
        how = next((how for kind, how in sorted(outcomes) if kind == status), "")
        last = "@" + key.partition("@")[2] if "@" in key else key.rsplit("/", 1)[-1]
        rows.append(Row(key, status, how if status == "translated" else "", len(kinds) > 1 and status == "carried",
                        status in ("carried", "translated") or how == last))
    return rows


def _names() -> dict[str, str]:
    """By key the shortest name: what it is called, with as much of its path as tells it from its namesakes that fared
    otherwise. An attribute goes without where it fared as most of its name did."""
    named = defaultdict(list)
    for row in _rows():
        path, at, attribute = row.key.partition("@")
        if row.whole or not at:
            named[at + (attribute or path.rsplit("/", 1)[-1])].append(row)
    names = {}
    for name, rows in named.items():
        fates = [(row.status, row.how) for row in rows]
        usual = max(sorted(set(fates)), key=fates.count)
        for row in rows:
            path = row.key.partition("@")[0].split("/")
            if len(set(fates)) == 1 or name.startswith("@") and (row.status, row.how) == usual:
                names[row.key] = name
            elif name.startswith("@"):
                names[row.key] = path[-1] + name
            else:
                names[row.key] = "/".join(path[-3:] if path[-2] == "dynamics" else path[-2:])
    return names


def _listed(status: str) -> list[str]:
    names = _names()
    found = defaultdict(set)
    for row in _rows():
        if row.status == status and row.whole:
            found[row.how].add((names[row.key], row.starred))
    for listed in found.values():  # all dynamics fare alike
        for holder in {name.rpartition("/")[0] for name, _ in listed if name.count("/") == 2}:
            marks = {one for one in listed if one[0].startswith(holder + "/")}
            listed -= marks
            listed.add((f"{holder}/*", False))
    rows = []
    for how, listed in sorted(found.items()):
        stars = {name for name, starred in listed if starred}
        texts = [f"`{name}`" + ("\\*" if name in stars else "")
                 for name in sorted({name for name, _ in listed}, key=lambda name: ("@" in name, name))]
        rows.append(", ".join(texts) + (f" (as {how})" if how else ""))
    return rows


def table() -> str:
    rows = "\n".join(f"| {title} | {'; '.join(_listed(status))} |" for title, status in [
        ("carried", "carried"), ("said in other words", "translated"),
        ("reported as left out, with all that is in it", "told"),
        ("reported together as layout, which is made anew", "layout")])
    midi = "\n".join(f"| {title} | {', '.join(support_matrix_midi.listed(status))} |" for title, status in [
        ("carried", "carried"), ("said in other words", "translated"), ("reported as left out", "told")])
    return f"""# What is carried from a file

What becomes of each MusicXML element and attribute in a measure, and of each MIDI event. Made by
tests/reference/support_matrix_table.py from what the program does; the tests compare.

## MusicXML 4.0 to MusicXML

`@` stands before attributes. Of what has a star, some values are reported as left out or as layout.

| inside a measure | |
| --- | --- |
{rows}

## MIDI to MusicXML

| MIDI events | |
| --- | --- |
{midi}
"""


def main() -> int:
    if sys.argv[1:] == ["--write"]:
        PAGE.write_text(table(), encoding="utf-8")
    else:
        print(table(), end="")
    return 0


if __name__ == "__main__":
    sys.exit(main())
