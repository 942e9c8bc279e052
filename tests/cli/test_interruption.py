"""Ended at any moment, the program leaves the old file or the new one, never half of one."""

import os
import random
import re
import signal
import subprocess
import time

import pytest

import material
from conftest import PROGRAM, names

OLD = b"precious" * 1000
FIXED = {"SOURCE_DATE_EPOCH": "86400"}


def start(folder, *arguments):
    return subprocess.Popen(
        [PROGRAM, *arguments], cwd=folder, env=FIXED, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL, preexec_fn=listen_to_signals,
    )


def listen_to_signals():
    """These tests may themselves run in the background, where a shell has programs ignore some."""
    for one in (signal.SIGINT, signal.SIGHUP):
        signal.signal(one, signal.SIG_DFL)


def kill_after(process, seconds, how):
    time.sleep(seconds)
    process.send_signal(how)
    return process.wait(timeout=60)


@pytest.fixture
def tune(tmp_path):
    (tmp_path / "long.mid").write_bytes(material.long_reel(120))
    return tmp_path


def timed(folder, *arguments):
    """How long an undisturbed run takes, at most of three."""
    longest = 0.0
    for _ in range(3):
        began = time.monotonic()
        assert start(folder, *arguments).wait(timeout=60) == 0
        longest = max(longest, time.monotonic() - began)
    return longest


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM, signal.SIGINT, signal.SIGHUP], ids=lambda s: s.name)
@pytest.mark.parametrize("there_before", [True, False], ids=["replacing", "new"])
def test_old_or_new(tune, how, there_before):
    out = tune / "out.musicxml"
    arguments = ["convert", "long.mid", "-o", "out.musicxml", "--force"]
    duration = timed(tune, *arguments)
    new = out.read_bytes()
    whole = {OLD, new} if there_before else {None, new}
    chance = random.Random(f"{how.name} {there_before}")
    seen = {}
    for _ in range(60):
        if there_before:
            out.write_bytes(OLD)
        else:
            out.unlink(missing_ok=True)
        status = kill_after(start(tune, *arguments), chance.uniform(0, 1.2 * duration), how)
        assert status in (0, -how), status
        found = out.read_bytes() if out.exists() else None
        assert found in whole
        assert status != 0 or found == new
        seen[found] = seen.get(found, 0) + 1
        left = [name for name in names(tune) if name not in ("long.mid", "out.musicxml")]
        if how == signal.SIGKILL:
            # Nobody can tidy up after that; what is left says whose it is, and is no MusicXML by name.
            assert all(re.fullmatch(r"\.fifthpeg-[0-9a-f]{16}\.part", name) for name in left)
            for name in left:
                (tune / name).unlink()
        else:
            assert left == []
    # The moments were spread over the run: some before its end, some after.
    assert len(seen) == 2, seen


def test_killed_in_a_batch(tune):
    """Several files at a time: each is whole or absent, and nothing else is left."""
    for number in range(12):
        (tune / f"t{number:02}.mid").write_bytes(material.long_reel(20 + 10 * number))
    inputs = [f"t{number:02}.mid" for number in range(12)]
    arguments = ["convert", *inputs, "-d", "out", "--to", "musicxml", "--jobs", "4", "--force"]
    duration = timed(tune, *arguments)
    whole = {path.name: path.read_bytes() for path in (tune / "out").iterdir()}
    assert len(whole) == 12
    chance = random.Random(7)
    for _ in range(40):
        for path in (tune / "out").iterdir():
            path.unlink()
        status = kill_after(start(tune, *arguments), chance.uniform(0, 1.1 * duration), signal.SIGTERM)
        assert status in (0, -signal.SIGTERM)
        for path in (tune / "out").iterdir():
            assert path.read_bytes() == whole[path.name], path.name


def test_ignored_signals_stay_ignored(tune):
    """As under nohup."""
    process = subprocess.Popen(
        [PROGRAM, "convert", "-", "-o", "out.mid"], cwd=tune, stdin=subprocess.PIPE, stderr=subprocess.DEVNULL,
        preexec_fn=lambda: signal.signal(signal.SIGHUP, signal.SIG_IGN),
    )
    time.sleep(0.2)
    process.send_signal(signal.SIGHUP)
    process.communicate(material.reel(), timeout=60)
    assert process.returncode == 0
    assert (tune / "out.mid").read_bytes().startswith(b"MThd")


def test_two_runs_for_one_name_give_one_of_both(tune):
    """Without --force the second finds the file there, however close they are."""
    for _ in range(20):
        (tune / "out.mid").unlink(missing_ok=True)
        runs = [start(tune, "convert", "long.mid", "-o", "out.mid") for _ in range(4)]
        assert sorted(run.wait(timeout=60) for run in runs) == [0, 4, 4, 4]
        assert names(tune) == ["long.mid", "out.mid"]


def test_nothing_is_left_in_the_folder_of_temporary_files(tune, tmp_path_factory):
    elsewhere = tmp_path_factory.mktemp("tmp")
    environment = FIXED | {"TMPDIR": str(elsewhere), "HOME": str(elsewhere), "PATH": os.environ["PATH"]}
    for extension in ("musicxml", "mxl", "mid", "txt"):
        done = subprocess.run([PROGRAM, "convert", "long.mid", "-o", f"out.{extension}"], cwd=tune, env=environment,
                              capture_output=True, timeout=60, check=False)
        assert done.returncode == 0
    assert names(elsewhere) == []
