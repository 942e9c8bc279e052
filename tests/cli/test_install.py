"""What `cmake --install` puts in place is enough for a project outside to build against."""

import ctypes
import json
import os
import re
import subprocess

import pytest

from conftest import BUILD, ROOT, run

EXAMPLES = ROOT / "tests/examples"


def cmake(*arguments):
    environment = {name: os.environ[name] for name in ("PATH", "HOME") if name in os.environ}
    done = subprocess.run(["cmake", *map(str, arguments)], env=environment, capture_output=True, text=True,
                          timeout=600, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return done


def cached(name):
    for line in (BUILD / "CMakeCache.txt").read_text().splitlines():
        key, _, value = line.partition("=")
        if key.split(":")[0] == name:
            return value
    return ""


@pytest.fixture(scope="module")
def prefix(tmp_path_factory):
    folder = tmp_path_factory.mktemp("prefix")
    cmake("--install", BUILD, "--prefix", folder)
    return folder


def test_what_is_installed(prefix):
    for header in (ROOT / "include/fifthpeg").glob("*.hpp"):
        assert (prefix / "include/fifthpeg" / header.name).read_bytes() == header.read_bytes()
    schemas = ROOT / "schemas"
    for schema in (path for path in schemas.rglob("*") if path.is_file()):
        installed = prefix / "share/fifthpeg/schemas" / schema.relative_to(schemas)
        assert installed.read_bytes() == schema.read_bytes()
    result = run("--version", program=prefix / "bin/fifthpeg")
    assert result.status == 0
    # Nothing in the package points back to where it was built.
    for path in prefix.rglob("*.cmake"):
        text = path.read_text()
        assert str(ROOT) not in text and str(BUILD) not in text, path


@pytest.fixture(scope="module")
def examples(prefix, tmp_path_factory):
    build = tmp_path_factory.mktemp("examples")
    flags = "-fsanitize=address,undefined" if cached("FIFTHPEG_SANITIZE") == "ON" else ""
    cmake("-S", EXAMPLES, "-B", build, f"-DCMAKE_PREFIX_PATH={prefix}", f"-DCMAKE_CXX_FLAGS={flags}",
          f"-DCMAKE_CXX_COMPILER={cached('CMAKE_CXX_COMPILER')}")
    cmake("--build", build)
    return build


def example(examples, name, *arguments, status=0):
    done = subprocess.run([examples / name, *map(str, arguments)], capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == status, done.stderr
    return done


def test_convert_writes_what_the_program_writes(examples, tmp_path, reel, fifthpeg):
    done = example(examples, "convert", reel, tmp_path / "own.musicxml")
    whole = fifthpeg("convert", reel, "-o", tmp_path / "program.musicxml")
    assert whole.status == 0
    # The program dates what it writes.
    undated = re.sub(r" *<encoding-date>.*</encoding-date>\n", "", (tmp_path / "program.musicxml").read_text())
    assert (tmp_path / "own.musicxml").read_text() == undated
    # The report is the same but for what the program adds: the file's name, and which option helps.
    for line in done.stderr.splitlines():
        assert line.split(" (")[0] in whole.err
    refused = example(examples, "convert", tmp_path / "nothing.mid", tmp_path / "no.musicxml", status=1)
    assert "cannot be opened [unreadable]" in refused.stderr
    (tmp_path / "text.mid").write_text("no music")
    assert "[not-music]" in example(examples, "convert", tmp_path / "text.mid", tmp_path / "no.musicxml", status=1).stderr
    assert example(examples, "convert", reel, tmp_path / "no/such/folder", status=1).stderr.endswith("[unwritable]\n")


def test_check_prints_the_findings(examples, reel, fifthpeg):
    for path in sorted((ROOT / "fixtures/mistakes").glob("*.musicxml")):
        whole = fifthpeg("check", "--json", path)
        found = [finding["rule"] for finding in json.loads(whole.out)["files"][0]["findings"]]
        own = example(examples, "check", path, status=1 if whole.status == 1 else 0).stdout.splitlines()
        assert found and [re.search(r"\[([a-z0-9-]+)\]$", line).group(1) for line in own] == found
    example(examples, "check", reel)


def test_finger_and_print(examples):
    tab = example(examples, "finger_and_print").stdout
    assert tab.startswith("Lick") and re.search(r"^d\|.*0", tab, re.MULTILINE)
    assert "lies outside the banjo's range" in example(examples, "finger_and_print", "-24", status=1).stderr


def test_the_library_becomes_part_of_a_shared_one(examples, reel):
    library = examples / "libplugin.so"
    defined = subprocess.run(["nm", "--dynamic", "--defined-only", library], capture_output=True, text=True, check=True).stdout
    assert " T plugin_playable\n" in defined
    if cached("FIFTHPEG_SANITIZE") == "ON":
        return  # it was linked; to call it, the sanitizer would have to be loaded before Python
    playable = ctypes.CDLL(str(library)).plugin_playable
    playable.argtypes = [ctypes.c_char_p, ctypes.c_size_t]
    music = reel.read_bytes()
    assert playable(music, len(music)) == 1
    assert playable(music, 20) == 0


def test_another_version_is_refused(prefix, tmp_path):
    """Below 1.0 a minor version may change what a program sees."""
    (tmp_path / "CMakeLists.txt").write_text(
        "cmake_minimum_required(VERSION 3.22)\nproject(other LANGUAGES CXX)\n"
        "find_package(fifthpeg 0.99 QUIET)\nif(fifthpeg_FOUND)\n  message(FATAL_ERROR found)\nendif()\n"
    )
    cmake("-S", tmp_path, "-B", tmp_path / "build", f"-DCMAKE_PREFIX_PATH={prefix}")
