"""What the tests of the program share.

FIFTHPEG is the program, FIFTHPEG_BUILD the folder it was built in.
"""

import json
import os
import pathlib
import shutil
import subprocess
import tempfile

import jsonschema
import pytest
import referencing

import material

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = pathlib.Path(os.environ["FIFTHPEG"]).resolve()
BUILD = pathlib.Path(os.environ.get("FIFTHPEG_BUILD", PROGRAM.parents[2])).resolve()

STATUSES = range(5)
NOBODY = 65534


class Result:
    def __init__(self, done):
        self.status = done.returncode
        self.out = done.stdout
        self.err = done.stderr.decode("utf-8") if done.stderr is not None else ""

    @property
    def errors(self):
        return [line for line in self.err.splitlines() if line.startswith("fifthpeg: ")]


def run(*arguments, cwd=None, timeout=60, program=PROGRAM, **options):
    """Runs the program. Whatever it is asked, it ends with one of its own statuses, and in time."""
    options.setdefault("stdin", subprocess.DEVNULL)
    if options.get("input") is not None:
        del options["stdin"]
    options.setdefault("stdout", subprocess.PIPE)
    options.setdefault("stderr", subprocess.PIPE)
    words = [str(program), *map(str, arguments)]
    result = Result(subprocess.run(words, cwd=cwd, timeout=timeout, check=False, **options))
    assert result.status in STATUSES, (words, result.status, result.err)
    return result


@pytest.fixture
def fifthpeg(tmp_path):
    """The program, run in an empty folder of the test's own."""

    def call(*arguments, **options):
        options.setdefault("cwd", tmp_path)
        return run(*arguments, **options)

    return call


@pytest.fixture
def reel(tmp_path):
    path = tmp_path / "reel.mid"
    path.write_bytes(material.reel())
    return path


@pytest.fixture
def lick(tmp_path):
    path = tmp_path / "lick.musicxml"
    path.write_bytes(material.lick())
    return path


@pytest.fixture
def open_folder():
    """A folder that everybody may use, with a copy of the program: for tests that give up being root."""
    folder = pathlib.Path(tempfile.mkdtemp(prefix="fifthpeg-test-"))
    folder.chmod(0o777)
    shutil.copy(PROGRAM, folder / "program")
    (folder / "program").chmod(0o755)
    yield folder
    for path in [folder, *folder.rglob("*")]:
        if path.is_dir():
            path.chmod(0o777)
    shutil.rmtree(folder)


@pytest.fixture
def as_nobody(open_folder):
    """The program, run by somebody for whom permissions hold."""

    def call(*arguments, **options):
        if os.geteuid() == 0:
            options.update(user=NOBODY, group=NOBODY, extra_groups=[])
        return run(*arguments, cwd=open_folder, program=open_folder / "program", **options)

    return call


def _schemas():
    contents = [json.loads(path.read_text()) for path in sorted((ROOT / "schemas").glob("*.schema.json"))]
    registry = referencing.Registry().with_resources(
        (content["$id"], referencing.Resource.from_contents(content)) for content in contents
    )
    return {content["$id"].rsplit(":", 1)[1]: content for content in contents}, registry


@pytest.fixture
def valid():
    """Parses a report and holds it against its schema."""
    schemas, registry = _schemas()

    def check(text, name):
        document = json.loads(text)
        schema = schemas[name]
        jsonschema.Draft202012Validator.check_schema(schema)
        jsonschema.Draft202012Validator(schema, registry=registry).validate(document)
        return document

    return check


def names(folder):
    """All that is in a folder, hidden files too."""
    return sorted(entry.name for entry in pathlib.Path(folder).iterdir())


def writing(fifthpeg, folder, command, usual):
    """Runs a command that writes a file, and returns its path and what was said."""
    def write(*arguments, out=usual, status=0):
        result = fifthpeg(command, *arguments, "-o", out)
        assert result.status == status, result.err
        return folder / out, result.err
    return write
