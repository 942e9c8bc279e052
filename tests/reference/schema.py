"""The published MusicXML 4.0 schema, from wherever this machine has it.

Either a folder named by FIFTHPEG_SCHEMA_DIR that holds the files as published (musicxml.xsd, xml.xsd,
xlink.xsd), or the copy inside the Python package `musicxml`, with xml.xsd and xlink.xsd of the package
`xmlschema` (the W3C's own). Nothing is ever fetched: what the schema imports by address is answered from
these files, and any other address is refused.
"""
import functools
import importlib.util
import os
from pathlib import Path

from lxml import etree


def _package(name):
    return Path(importlib.util.find_spec(name).origin).parent


def locate():
    """Paths of the three grammars, by their published names."""
    folder = os.environ.get("FIFTHPEG_SCHEMA_DIR")
    if folder:
        return {name: Path(folder) / name for name in ("musicxml.xsd", "xml.xsd", "xlink.xsd")}
    w3c = _package("xmlschema") / "schemas"
    return {
        "musicxml.xsd": _package("musicxml") / "generate_classes" / "musicxml_4_0.xsd",
        "xml.xsd": w3c / "XML" / "xml.xsd",
        "xlink.xsd": w3c / "XLINK" / "xlink.xsd",
    }


class _LocalOnly(etree.Resolver):
    def __init__(self, files):
        super().__init__()
        self.files = files

    def resolve(self, url, public_id, context):
        name = url.rsplit("/", 1)[-1]
        if name in self.files:
            return self.resolve_filename(str(self.files[name]), context)
        if name.endswith(".dtd"):  # the W3C's xml.xsd and xlink.xsd may name the DTD of schemas
            return self.resolve_empty(context)
        raise OSError(f"{url} is not at hand and is not fetched")


@functools.cache
def schema():
    files = locate()
    parser = etree.XMLParser(no_network=True, load_dtd=False)
    parser.resolvers.add(_LocalOnly(files))
    # The address, not the path, is the base, so that imports are asked of the resolver.
    text = files["musicxml.xsd"].read_bytes()
    return etree.XMLSchema(etree.fromstring(text, parser, base_url="musicxml:/musicxml.xsd"))


def parse(data):
    """The document, untouched by entities and the network."""
    return etree.fromstring(data, etree.XMLParser(no_network=True, resolve_entities=False, load_dtd=False,
                                                  huge_tree=True))


def errors(data):
    """What the schema has against a MusicXML document: a line each, empty if it is valid."""
    checker = schema()
    if checker.validate(parse(data)):
        return []
    return [f"line {entry.line}: {entry.message}" for entry in checker.error_log]
