"""The Debian package: built from what is built already, installed, run and removed again."""

import fcntl
import os
import pathlib
import shutil
import subprocess
import tempfile

import pytest

from conftest import BUILD, names, run

INSTALLED = pathlib.Path("/usr/bin/fifthpeg")


def command(*words, **options):
    done = subprocess.run([*map(str, words)], capture_output=True, text=True, timeout=600, check=False, **options)
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def package(tmp_path_factory):
    folder = tmp_path_factory.mktemp("package")
    command("cpack", "-G", "DEB", "--config", BUILD / "CPackConfig.cmake", "-B", folder)
    (found,) = folder.glob("*.deb")
    return found


@pytest.fixture
def system():
    """The machine's own list of packages, for one test at a time."""
    if os.geteuid() != 0:
        pytest.skip("only root can install a package")
    with open(pathlib.Path(tempfile.gettempdir()) / "fifthpeg-test-package.lock", "w", encoding="ascii") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if INSTALLED.exists() or shutil.which("fifthpeg"):
            pytest.skip("a fifthpeg is installed here, which the test would replace")
        yield
        subprocess.run(["dpkg", "--purge", "fifthpeg"], capture_output=True, timeout=600, check=False)


def test_what_the_package_holds(package, tmp_path):
    command("dpkg-deb", "-x", package, tmp_path)
    assert names(tmp_path) == ["usr"]
    usr = tmp_path / "usr"
    for path in ("bin/fifthpeg", "share/man/man1/fifthpeg.1", "share/bash-completion/completions/fifthpeg",
                 "include/fifthpeg/read.hpp", "lib/libfifthpeg.a", "lib/libfifthpeg_audio.a", "lib/cmake/fifthpeg/fifthpegConfig.cmake",
                 "share/fifthpeg/schemas/report.schema.json"):
        assert (usr / path).is_file(), path
    rights = (usr / "share/doc/fifthpeg/copyright").read_text()
    assert "Permission is hereby granted" in rights
    assert "Copyright 2018 Google Inc." in rights and "SIL OPEN FONT LICENSE Version 1.1" in rights  # of the signs
    assert (usr / "share/man/man1/fifthpeg.1").read_bytes() == (BUILD / "generated/fifthpeg.1").read_bytes()
    assert all(path.stat().st_mode & 0o022 == 0 for path in usr.rglob("*"))

    def field(name):
        return command("dpkg-deb", "-f", package, name).strip()

    assert field("Package") == "fifthpeg"
    assert field("Version") == run("--version").out.decode().split()[1]
    # What the program is linked with.
    assert {"libc6", "libcairo2", "libfontconfig1", "libpangocairo", "libsndfile1", "libtinyxml2", "libxml2", "libzip4"} <= {
        word.split()[0].split("-")[0] for word in field("Depends").split(", ")
    }
    assert "fonts-noto-core" in field("Depends").split(", ")  # the text face of sheets


def test_installed_run_and_removed(system, package, reel):
    # Another program may be at dpkg's list right now.
    command("sh", "-c", 'for wait in 1 2 4 8 16 32; do dpkg -i "$0" && exit; sleep $wait; done; exit 1', package)
    listed = [pathlib.Path(line) for line in command("dpkg", "-L", "fifthpeg").splitlines()]
    assert INSTALLED in listed
    assert command("fifthpeg", "--version", cwd=reel.parent).startswith("fifthpeg ")
    command("fifthpeg", "convert", reel, "-o", "reel.musicxml", cwd=reel.parent)
    assert run("convert", reel, "-o", "same.musicxml", cwd=reel.parent).status == 0
    assert (reel.parent / "reel.musicxml").read_bytes() == (reel.parent / "same.musicxml").read_bytes()
    assert "_fifthpeg" in command("bash", "-c", "source /usr/share/bash-completion/completions/fifthpeg; complete -p")
    command("sh", "-c", "for wait in 1 2 4 8 16 32; do dpkg -r fifthpeg && exit; sleep $wait; done; exit 1")
    assert shutil.which("fifthpeg") is None
    assert [path for path in listed if "fifthpeg" in path.name and path.exists()] == []
