"""What `cmake --install` puts in place is enough for a project outside to build against."""

import os
import pathlib
import subprocess

import pytest

import material
from conftest import BUILD, ROOT, run

OUTSIDE = pathlib.Path(__file__).parent / "outside"


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


def test_a_project_outside(prefix, tmp_path, reel, fifthpeg):
    flags = "-fsanitize=address,undefined" if cached("FIFTHPEG_SANITIZE") == "ON" else ""
    cmake("-S", OUTSIDE, "-B", tmp_path / "build", f"-DCMAKE_PREFIX_PATH={prefix}", f"-DCMAKE_CXX_FLAGS={flags}",
          f"-DCMAKE_CXX_COMPILER={cached('CMAKE_CXX_COMPILER')}")
    cmake("--build", tmp_path / "build")
    done = subprocess.run([tmp_path / "build/outside", reel], capture_output=True, timeout=60, check=True)
    assert done.stdout == fifthpeg("show", reel).out


def test_another_version_is_refused(prefix, tmp_path):
    """Below 1.0 a minor version may change what a program sees."""
    (tmp_path / "CMakeLists.txt").write_text(
        "cmake_minimum_required(VERSION 3.22)\nproject(other LANGUAGES CXX)\n"
        "find_package(fifthpeg 0.99 QUIET)\nif(fifthpeg_FOUND)\n  message(FATAL_ERROR found)\nendif()\n"
    )
    cmake("-S", tmp_path, "-B", tmp_path / "build", f"-DCMAKE_PREFIX_PATH={prefix}")
