"""Measures `check` with the grammar beside xmllint (libxml2's command line) with the published MusicXML 4.0 schema,
on the same files, as JSON on standard output:  check.py FOLDER-OF-PIECES REPETITIONS

The files are what `convert` writes of the pieces. The schema is that of the folder that FIFTHPEG_SCHEMA_DIR names,
or of the package `musicxml`, with the W3C's xml.xsd and xlink.xsd of the package `xmlschema`; xmllint finds those
two by a catalog, so that nothing is fetched. Both take turns; compared is processor time.
"""
import importlib.util
import json
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path
from xml.sax.saxutils import quoteattr

PROGRAM = os.environ["FIFTHPEG"]
BATCH = 500
SIZES = (1000, 10000, 100000)  # notes; one, ten and a hundred megabytes of XML
PUBLISHED_AT = "http://www.musicxml.org/xsd/"  # how the schema names what it imports


def schemas():
    folder = os.environ.get("FIFTHPEG_SCHEMA_DIR")
    if folder:
        return [Path(folder) / name for name in ("musicxml.xsd", "xml.xsd", "xlink.xsd")]
    musicxml, w3c = (Path(importlib.util.find_spec(name).origin).parent for name in ("musicxml", "xmlschema"))
    return [musicxml / "generate_classes" / "musicxml_4_0.xsd", w3c / "schemas" / "XML" / "xml.xsd",
            w3c / "schemas" / "XLINK" / "xlink.xsd"]


def catalog(folder, xml, xlink):
    lines = "".join(f"<{kind} {key}={quoteattr(PUBLISHED_AT + name)} uri={quoteattr(path.resolve().as_uri())}/>"
                    for name, path in (("xml.xsd", xml), ("xlink.xsd", xlink))
                    for kind, key in (("system", "systemId"), ("uri", "name")))
    path = Path(folder) / "catalog.xml"
    path.write_text(f'<catalog xmlns="urn:oasis:names:tc:entity:xmlns:xml:catalog">{lines}</catalog>')
    return path


def process(words):
    """Processor time in seconds and peak memory in bytes of a process that has to find the files without fault."""
    null = [(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0),
            (os.POSIX_SPAWN_OPEN, 2, os.devnull, os.O_WRONLY, 0)]
    child = os.posix_spawnp(words[0], list(map(str, words)), os.environ, file_actions=null)
    _, status, used = os.wait4(child, 0)
    if status != 0:
        sys.exit(f"{words[:6]} ended with status {status}")
    return used.ru_utime + used.ru_stime, used.ru_maxrss * 1024


def instructions(words):
    with tempfile.NamedTemporaryFile() as out:
        subprocess.run(["valgrind", "-q", "--tool=callgrind", f"--callgrind-out-file={out.name}", *map(str, words)],
                       check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        return int(re.search(rb"^(?:summary|totals): (\d+)", Path(out.name).read_bytes(), re.M)[1])


def written(source, target, *options):
    subprocess.run([PROGRAM, "convert", "--force", "--quiet", "--max-bytes", "1G", *options, *map(str, source), *target],
                   check=True)


def main():
    pieces, repetitions = Path(sys.argv[1]), int(sys.argv[2])
    out = pieces / "out"
    batch = sorted((pieces / "batch").glob("*.mid"))[:BATCH]
    assert len(batch) == BATCH
    written(batch, ["-d", out / "check"], "--to", "musicxml")
    files = [out / "check" / f"{path.stem}.musicxml" for path in batch]
    large = {notes: out / f"check-{notes}.musicxml" for notes in SIZES}
    for notes, path in large.items():
        written([pieces / f"piece-{notes}.mid"], ["-o", path])

    musicxml, xml, xlink = schemas()
    os.environ["XML_CATALOG_FILES"] = str(catalog(out, xml, xlink))
    xmllint = ["xmllint", "--noout", "--nonet", "--huge", "--schema", musicxml]
    grammar = [PROGRAM, "check", "--jobs", "1", "--max-bytes", "1G", "--only", "grammar"]
    all_rules = [PROGRAM, "check", "--jobs", "1", "--max-bytes", "1G", "--max-severity", "warning"]

    kinds = {"xmllint": xmllint, "grammar": grammar, "all rules": all_rules}
    result = {"one": {kind: [] for kind in kinds}, "batch": {kind: [] for kind in (*kinds, "xmllint one by one")},
              "growth": {kind: {} for kind in kinds}}
    for _ in range(3 * repetitions):
        for kind, words in kinds.items():
            result["one"][kind].append(process([*words, files[0]])[0])
    result["instructions"] = {kind: instructions([*words, files[0]]) for kind, words in kinds.items()}
    for _ in range(max(1, repetitions // 3)):
        for kind, words in kinds.items():
            result["batch"][kind].append(process([*words, *files])[0] / BATCH)
        result["batch"]["xmllint one by one"].append(sum(process([*xmllint, path])[0] for path in files) / BATCH)
    for kind, words in kinds.items():
        for notes, path in large.items():
            runs = [process([*words, path]) for _ in range(max(1, repetitions // 3))]
            result["growth"][kind][path.stat().st_size] = [min(time for time, _ in runs), max(peak for _, peak in runs)]
    json.dump(result, sys.stdout)


main()
