"""Systems that lack something: calls that do not exist, descriptors that do not wait, a disk that forgets, memory."""

import fcntl
import os
import subprocess
import threading
import time

import pytest

import material
from bounded import SANITIZED
from conftest import PROGRAM, ROOT, names, run

SOURCE = ROOT / "tests" / "cli" / "interposed.c"


@pytest.fixture(scope="session")
def interposed(tmp_path_factory):
    """The program on such a system."""
    library = tmp_path_factory.mktemp("interposed") / "interposed.so"
    subprocess.run(["cc", "-shared", "-fPIC", "-O1", "-Wall", "-Werror", "-o", library, SOURCE], check=True)

    def call(*arguments, cwd, **variables):
        environment = os.environ | {"LD_PRELOAD": str(library)} | {
            f"INTERPOSED_{name.upper()}": str(value) for name, value in variables.items()}
        if SANITIZED:  # whose library wants to be the first
            environment["ASAN_OPTIONS"] = os.environ.get("ASAN_OPTIONS", "") + ":verify_asan_link_order=0"
        return run(*arguments, cwd=cwd, env=environment)

    return call


# ---- calls that do not exist --------------------------------------------------------------------------


@pytest.mark.parametrize("missing", ["renameat2", "renameat2,link"])
def test_outputs_without_exclusive_renaming(interposed, tmp_path, reel, missing):
    call = lambda *arguments: interposed(*arguments, cwd=tmp_path, missing=missing)  # noqa: E731
    assert call("convert", "reel.mid", "-o", "out.mid").status == 0
    first = (tmp_path / "out.mid").read_bytes()
    assert first.startswith(b"MThd")
    result = call("convert", "reel.mid", "-o", "out.mid")
    assert result.status == 4 and "--force" in result.err
    (tmp_path / "out.mid").write_text("old")
    assert call("convert", "reel.mid", "-o", "out.mid", "--force").status == 0
    assert (tmp_path / "out.mid").read_bytes() == first
    assert call("convert", "reel.mid", "-d", "out", "--to", "mid").status == 0
    assert names(tmp_path / "out") == ["reel.mid"] and names(tmp_path) == ["out", "out.mid", "reel.mid"]


def test_runs_for_one_name_without_exclusive_renaming(interposed, tmp_path, reel):
    """One of them has it, as everywhere."""
    for _ in range(5):
        statuses = []
        runs = [threading.Thread(target=lambda: statuses.append(
            interposed("convert", "reel.mid", "-o", "out.mid", cwd=tmp_path, missing="renameat2,link").status))
            for _ in range(4)]
        for one in runs:
            one.start()
        for one in runs:
            one.join()
        assert sorted(statuses) == [0, 4, 4, 4]
        assert (tmp_path / "out.mid").read_bytes().startswith(b"MThd")
        (tmp_path / "out.mid").unlink()
    assert names(tmp_path) == ["reel.mid"]


# ---- descriptors that do not wait ----------------------------------------------------------------------


def without_waiting(descriptor):
    fcntl.fcntl(descriptor, fcntl.F_SETFL, fcntl.fcntl(descriptor, fcntl.F_GETFL) | os.O_NONBLOCK)


@pytest.mark.parametrize("arguments", [["show", "long.mid"], ["convert", "long.mid", "-o", "-", "--to", "musicxml"],
                                       ["check", "long.mid", "--fix", "-"]], ids=lambda words: words[0])
def test_output_that_does_not_wait(fifthpeg, tmp_path, arguments):
    """A pipe that is full most of the time, and read slowly."""
    (tmp_path / "long.mid").write_bytes(material.without_end(material.long_reel(400)))
    environment = {"SOURCE_DATE_EPOCH": "86400"}
    whole = fifthpeg(*arguments, env=environment).out
    assert len(whole) > 3 * 4096
    read_end, write_end = os.pipe()
    fcntl.fcntl(write_end, fcntl.F_SETPIPE_SZ, 4096)
    without_waiting(write_end)
    process = subprocess.Popen([PROGRAM, *arguments], cwd=tmp_path, stdin=subprocess.DEVNULL, stdout=write_end,
                               stderr=subprocess.PIPE, env=environment)
    os.close(write_end)
    seen = b""
    while piece := os.read(read_end, 4096):
        seen += piece
        time.sleep(0.0005)
    os.close(read_end)
    error = process.communicate(timeout=60)[1]
    assert process.returncode == 0, error
    assert seen == whole


def test_messages_that_do_not_wait(tmp_path):
    inputs = []
    for number in range(300):
        inputs.append(f"{number:03}{'n' * 200}.mid")
        (tmp_path / inputs[-1]).write_bytes(b"nothing")
    read_end, write_end = os.pipe()
    without_waiting(write_end)
    process = subprocess.Popen([PROGRAM, "convert", *inputs, "-d", "out", "--to", "mid"], cwd=tmp_path,
                               stdin=subprocess.DEVNULL, stderr=write_end)
    os.close(write_end)
    time.sleep(0.3)  # it is full by now
    seen = b""
    while piece := os.read(read_end, 4096):
        seen += piece
    os.close(read_end)
    assert process.wait(timeout=60) == 3
    assert len(seen.splitlines()) == 301


def test_input_that_does_not_wait(tmp_path):
    read_end, write_end = os.pipe()
    without_waiting(read_end)
    process = subprocess.Popen([PROGRAM, "show", "-"], cwd=tmp_path, stdin=read_end, stdout=subprocess.PIPE,
                               stderr=subprocess.PIPE)
    os.close(read_end)
    time.sleep(0.2)  # it finds nothing yet
    for byte in range(0, len(material.reel()), 40):
        os.write(write_end, material.reel()[byte:byte + 40])
        time.sleep(0.002)
    os.close(write_end)
    out, error = process.communicate(timeout=60)
    assert process.returncode == 0 and b"Tuning" in out, error


# ---- a disk that forgets what it was not waited for --------------------------------------------------------


def calls(path):
    return path.read_text().splitlines() if path.exists() else []


@pytest.mark.parametrize("there", [False, True], ids=["new", "replaced"])
@pytest.mark.parametrize("command", [["convert", "reel.mid", "-o"], ["check", "reel.mid", "--fix"]], ids=" ".join)
def test_success_is_said_when_the_file_is_on_the_disk(interposed, tmp_path, reel, command, there):
    """First what is in it, then its name, and then the folder that has the name."""
    reel.write_bytes(material.without_end(material.reel()))  # there is something to fix
    folder = tmp_path / "shelf"
    folder.mkdir()
    if there:
        (folder / "out.mid").write_text("old")
    result = interposed(*command, "shelf/out.mid", "--force", cwd=tmp_path, log=tmp_path / "calls")
    assert result.status == 0
    seen = [call for call in calls(tmp_path / "calls") if not call.startswith(("say", "warn"))]
    assert len(seen) == 3, seen
    assert seen[0].startswith("fsync .fifthpeg-") and seen[1:] == ["rename out.mid", "fsync shelf"]
    assert all(at > calls(tmp_path / "calls").index("fsync shelf") for at, call in enumerate(calls(tmp_path / "calls"))
               if call.startswith("say"))


def test_a_batch_waits_once_for_all(interposed, tmp_path, reel, lick):
    """For its file system, before it says how many there are; what replaces an older file is waited for before that."""
    (tmp_path / "out").mkdir()
    (tmp_path / "out/reel.mid").write_text("old")
    (tmp_path / "third.mid").write_bytes(material.reel())
    inputs = ["reel.mid", "lick.musicxml", "third.mid"]
    result = interposed("convert", *inputs, "-d", "out", "--to", "mid", "--force", "--json", cwd=tmp_path,
                        log=tmp_path / "calls")
    assert result.status == 0
    seen = calls(tmp_path / "calls")
    assert [call for call in seen if call.startswith("syncfs")] == ["syncfs out"]
    assert len([call for call in seen if call.startswith("fsync")]) == 1
    wait = seen.index("syncfs out")
    assert sorted(call for call in seen[:wait] if call.startswith("rename")) == [
        "rename lick.mid", "rename reel.mid", "rename third.mid"]
    assert not [call for call in seen[:wait] if call.startswith("say")] and "say " in seen[wait:]


# ---- memory ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("fixture", ["lick-slide.musicxml", "lick-slide.mxl", "irish-washerwoman.mid"])
def test_check_without_memory(interposed, tmp_path, fixture):
    """Whichever allocation fails, what is said is that there is no memory, or what is always said: never that the file is
    wrong."""
    if SANITIZED:  # whose memory is its own
        return
    path = ROOT / "fixtures" / fixture
    whole = interposed("check", path, cwd=tmp_path, allocations=tmp_path / "count")
    count = int((tmp_path / "count").read_text())
    assert whole.status == 0 and count > 1000
    tried = [*range(1, 60), *range(60, count, count // 120)]
    refused = 0
    for number in tried:
        result = interposed("check", path, cwd=tmp_path, allocation=number)
        if result.status == 3:
            refused += 1
            assert "memory" in result.err and b"error:" not in result.out, (number, result.err)
        else:
            assert (result.status, result.out) == (whole.status, whole.out), number
    assert refused > len(tried) / 2


def test_check_in_little_memory():
    """From as many addresses as the program needs to start, to as many as it needs to check a lick."""
    if SANITIZED:  # which needs terabytes of addresses
        return
    path = ROOT / "fixtures" / "lick-slide.musicxml"
    whole = run("check", path)

    def within(kibibytes, *arguments):
        return subprocess.run(["bash", "-c", f'ulimit -v {kibibytes}; exec "$@"', "x", PROGRAM, *arguments],
                              capture_output=True, check=False)

    step = 256
    start = 0
    while within(start, "--version").returncode != 0:
        start += step
        assert start < 1 << 20
    refused = 0
    while (done := within(start + refused * step, "check", path)).returncode != whole.status:
        assert done.returncode == 3 and b"memory" in done.stderr and b"error:" not in done.stdout, done
        refused += 1
        assert refused < 100
    assert done.stdout == whole.out and refused > 3
