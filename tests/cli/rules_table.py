"""schemas/check-rules.md, the table of what `check` looks for, from the program's own:

    fifthpeg check --rules --json | python3 tests/cli/rules_table.py > schemas/check-rules.md
"""
import json
import sys

FAMILIES = {
    "midi-bytes": "MIDI bytes", "container": "Files and archives", "grammar": "The grammar of MusicXML",
    "time": "Time", "pairs": "Pairs", "tab": "Tab", "technique": "Technique", "hands": "Hands", "reading": "Reading",
    "teaching": "Teaching"}
HEAD = """# What `fifthpeg check` looks for

An **error** breaks the file's standard, or teaches something wrong; a **warning** is what a careful teacher would
fix; a **note** is worth knowing. `--only` and `--skip` take the names of rules and of families, `--min-severity` and
`--max-severity` a severity. A file can silence a rule or a family for itself: in MusicXML by
`<?fifthpeg-check silence="pairs-slur teaching"?>`, in MIDI by the text event `fifthpeg-check silence: pairs-slur
teaching`; the report lists what a file silences. What is marked *fix* has one right answer, which `--fix OUT` writes.

This page is made from `fifthpeg check --rules --json`, and a test holds it against the program.
"""


def table(rules):
    text, family = HEAD, None
    for rule in rules:
        if rule["family"] != family:
            family = rule["family"]
            text += (f"\n## {FAMILIES[family]} (`{family}`)\n\n"
                     "| rule | severity | what is wrong | how to fix it | source |\n| --- | --- | --- | --- | --- |\n")
        cells = [f"`{rule['rule']}`", rule["severity"] + (", *fix*" if rule["mended_by_fix"] else ""),
                 rule["wrong"], rule["mend"], rule["source"]]
        text += "| " + " | ".join(cell.replace("|", "\\|").replace("<", "&lt;") for cell in cells) + " |\n"
    return text


if __name__ == "__main__":
    sys.stdout.write(table(json.load(sys.stdin)["rules"]))
