"""Several inputs into a directory."""

import json
import os
import pty
import re
import signal
import subprocess
import time

import pytest

import material
from conftest import PROGRAM, names

FIXED = {"SOURCE_DATE_EPOCH": "86400"}


@pytest.fixture
def tunes(tmp_path):
    """Twenty tunes of very different lengths, some of which cannot be converted."""
    folder = tmp_path / "tunes"
    folder.mkdir()
    for number in range(20):
        path = folder / f"t{number:02}.mid"
        if number % 7 == 3:
            path.write_bytes(b"no music " * number)
        elif number % 7 == 5:
            path.write_bytes(material.midi(material.voice("Banjo", [(0, 1, 20), (1, 1, 127)])))
        else:
            path.write_bytes(material.long_reel(400 if number % 5 == 0 else 4))
    return sorted(folder.iterdir())


def test_others_convert_when_one_fails(fifthpeg, tmp_path, tunes):
    result = fifthpeg("convert", *tunes, "-d", "out", "--to", "musicxml", env=FIXED)
    failed = {3: 3, 5: 1, 10: 3, 12: 1, 17: 3, 19: 1}
    good = [path for number, path in enumerate(tunes) if number not in failed]
    assert names(tmp_path / "out") == [path.stem + ".musicxml" for path in good]
    assert result.status == 3  # of the first that failed
    assert [line.split(": ")[1] for line in result.errors[:-1]] == [str(tunes[number]) for number in failed]
    assert result.err.splitlines()[-1] == "fifthpeg: 14 converted, 6 failed"
    assert result.out == b""


def test_status_is_that_of_the_first_that_failed(fifthpeg, tunes):
    assert fifthpeg("convert", tunes[5], tunes[3], tunes[0], "-d", "out", "--to", "txt").status == 1
    assert fifthpeg("convert", tunes[0], tunes[3], tunes[5], "-d", "out", "--to", "mid").status == 3
    assert fifthpeg("convert", tunes[1], tunes[0], "-d", "out", "--to", "mxl").status == 0


@pytest.mark.parametrize("format", ["musicxml", "mxl", "mid", "txt"])
def test_the_same_whatever_the_number_of_jobs(fifthpeg, tmp_path, tunes, format):
    seen = []
    for jobs in ("1", "2", "8"):
        result = fifthpeg("convert", *tunes, "-d", "out", "--to", format, "--jobs", jobs, "--json", env=FIXED)
        contents = {name: (tmp_path / "out" / name).read_bytes() for name in names(tmp_path / "out")}
        for name in contents:
            (tmp_path / "out" / name).unlink()
        seen.append((result.status, result.out, result.err, contents))
    assert len(seen[0][3]) == 14
    assert seen[0] == seen[1] == seen[2]


def test_json_lists_all_in_order(fifthpeg, tunes, valid):
    result = fifthpeg("convert", *tunes, "-d", "out", "--to", "mid", "--json", "--jobs", "3")
    report = valid(result.out, "report")
    assert [file["input"] for file in report["files"]] == [str(path) for path in tunes]
    assert (report["converted"], report["failed"], report["status"]) == (14, 6, 3)
    for number, file in enumerate(report["files"]):
        assert file["output"] == f"out/t{number:02}.mid"
        assert file["status"] == {3: 3, 5: 1}.get(number % 7, 0)


def test_two_inputs_for_one_output(fifthpeg, tmp_path, reel):
    (tmp_path / "a").mkdir()
    (tmp_path / "a/reel.musicxml").write_bytes(material.lick())
    result = fifthpeg("convert", reel, "a/reel.musicxml", "-d", "out", "--to", "mxl")
    assert result.status == 2
    assert [line.split(": ")[1] for line in result.errors] == [str(reel), "a/reel.musicxml", "0 converted, 2 failed"]
    for name in (str(reel), "a/reel.musicxml", "out/reel.mxl"):
        assert name in result.err
    assert names(tmp_path) == ["a", "reel.mid"]  # not even the directory was made


def test_only_inputs_for_one_output_fail(fifthpeg, tmp_path, reel, lick, valid):
    """All that share an output are named, and the others are converted."""
    (tmp_path / "lick.mid").write_bytes(material.reel())
    (tmp_path / "a").mkdir()
    (tmp_path / "a/lick.mxl").write_bytes(material.lick())
    inputs = ["lick.musicxml", "reel.mid", "lick.mid", "a/lick.mxl"]
    result = fifthpeg("convert", *inputs, "-d", "out", "--to", "txt", "--json")
    assert result.status == 2
    assert names(tmp_path / "out") == ["reel.txt"]
    report = valid(result.out, "report")
    assert [file["status"] for file in report["files"]] == [2, 0, 2, 2]
    assert (report["converted"], report["failed"]) == (1, 3)
    for file in report["files"]:
        if file["status"]:
            assert file["error"]["code"] == "shared-output"
            assert "out/lick.txt" in file["error"]["what"] and "lick.m" in file["error"]["what"]
    assert len([line for line in result.errors if "another directory" in line]) == 3


@pytest.mark.parametrize("link", ["symlink_to", "hardlink_to"])
def test_outputs_that_are_one_file(fifthpeg, tmp_path, reel, lick, link):
    """With --force too: one would be lost, and both reported as written."""
    (tmp_path / "third.mid").write_bytes(material.reel())
    out = tmp_path / "out"
    out.mkdir()
    (out / "lick.mid").write_text("precious")
    getattr(out / "reel.mid", link)("lick.mid" if link == "symlink_to" else out / "lick.mid")
    result = fifthpeg("convert", reel, lick, "third.mid", "-d", "out", "--to", "mid", "--force")
    assert result.status == 2
    assert (out / "lick.mid").read_text() == "precious" == (out / "reel.mid").read_text()
    assert (out / "third.mid").read_bytes().startswith(b"MThd")
    assert result.errors[-1] == "fifthpeg: 1 converted, 2 failed"


def test_the_same_input_twice(fifthpeg, tmp_path, reel):
    assert fifthpeg("convert", reel, reel, "-d", "out", "--to", "mxl").status == 2
    assert names(tmp_path) == ["reel.mid"]


@pytest.mark.parametrize(
    "name, output",
    [
        ("reel.mid", "reel.txt"),
        ("reel.MIDI", "reel.txt"),
        ("reel.v2.mid", "reel.v2.txt"),
        ("reel.v2", "reel.v2.txt"),
        ("reel", "reel.txt"),
        (".mid", ".mid.txt"),
        ("a reel, in G.mid", "a reel, in G.txt"),
    ],
)
def test_names_of_outputs(fifthpeg, tmp_path, name, output):
    (tmp_path / name).write_bytes(material.reel())
    assert fifthpeg("convert", name, "-d", "out", "--to", "txt").status == 0
    assert names(tmp_path / "out") == [output]


def test_directory_is_made_only_when_something_is_written(fifthpeg, tmp_path, reel):
    (tmp_path / "bad.mid").write_bytes(b"nothing")
    assert fifthpeg("convert", "bad.mid", "-d", "out/deep", "--to", "txt").status == 3
    assert names(tmp_path) == ["bad.mid", "reel.mid"]
    assert fifthpeg("convert", "bad.mid", "reel.mid", "-d", "out/deep", "--to", "txt").status == 3
    assert names(tmp_path / "out/deep") == ["reel.txt"]


def test_existing_outputs_fail_one_by_one(fifthpeg, tmp_path, reel, lick):
    (tmp_path / "out").mkdir()
    (tmp_path / "out/reel.mid").write_text("precious")
    result = fifthpeg("convert", reel, lick, "-d", "out", "--to", "mid")
    assert result.status == 4
    assert (tmp_path / "out/reel.mid").read_text() == "precious"
    assert (tmp_path / "out/lick.mid").read_bytes().startswith(b"MThd")
    assert fifthpeg("convert", reel, lick, "-d", "out", "--to", "mid", "--force").status == 0


def test_strict_holds_for_each_file(fifthpeg, tmp_path, reel):
    six = [(0, 4, pitch) for pitch in (50, 55, 59, 62, 67, 71)]
    (tmp_path / "chord.mid").write_bytes(material.midi(material.voice("Banjo", six)))
    result = fifthpeg("convert", "chord.mid", reel, "-d", "out", "--to", "mid", "--thin", "--strict")
    assert result.status == 1
    assert names(tmp_path / "out") == ["reel.mid"]


def test_quiet_leaves_errors(fifthpeg, tunes):
    result = fifthpeg("convert", *tunes, "-d", "out", "--to", "mid", "--quiet")
    assert result.err.splitlines() == result.errors
    assert len(result.errors) == 6


def test_losses_on_one_line_and_failures_at_the_end(fifthpeg, tmp_path, tunes):
    """Of files that were converted only what they lost is said, each on one line; the rest is counted. What failed, and
    why, stands together at the end."""
    (tmp_path / "lick.musicxml").write_bytes(material.lick())
    alone = fifthpeg("convert", "lick.musicxml", "-o", "lick.mid").err.splitlines()
    assert len([line for line in alone if ": lost: " in line]) >= 1
    result = fifthpeg("convert", *tunes, "lick.musicxml", "-d", "out", "--to", "mid")
    lines = result.err.splitlines()
    assert "decided: " not in result.err
    losses = [line for line in lines if ": lost: " in line]
    assert len(losses) == 1 and losses[0].startswith("lick.musicxml: lost: ")
    decided = sum(entry["telling"] == "choice" for file in json.loads(
        fifthpeg("convert", *tunes, "-d", "again", "--to", "mid", "--json").out)["files"] if file["status"] == 0
        for entry in file["told"])
    assert decided > 10
    counted = [line for line in lines if "decisions" in line]
    assert len(counted) == 1 and int(counted[0].split()[0]) >= decided and "--json" in counted[0]
    assert lines[-1] == "fifthpeg: 15 converted, 6 failed"
    assert [line.split(": ")[1] for line in lines[-7:-1]] == [str(tunes[at]) for at in (3, 5, 10, 12, 17, 19)]


def test_skip_existing_goes_on(fifthpeg, tmp_path, tunes, valid):
    first = fifthpeg("convert", *tunes[:9], "-d", "out", "--to", "mid")
    assert first.status == 3
    (tmp_path / "out/t00.mid").write_text("mine")
    result = fifthpeg("convert", *tunes, "-d", "out", "--to", "mid", "--skip-existing", "--json")
    report = valid(result.out, "report")
    assert (report["converted"], report["failed"], report["skipped"]) == (7, 6, 7)
    assert [file["skipped"] for file in report["files"][:9]] == [number not in (3, 5) for number in range(9)]
    assert (tmp_path / "out/t00.mid").read_text() == "mine"
    assert len(names(tmp_path / "out")) == 14
    assert result.errors[-1] == "fifthpeg: 7 converted, 6 failed, 7 skipped"
    # A link to nowhere is a name that is taken.
    (tmp_path / "out/t01.mid").unlink()
    (tmp_path / "out/t01.mid").symlink_to("nowhere")
    assert fifthpeg("convert", tunes[1], "-d", "out", "--to", "mid", "--skip-existing").status == 0
    assert not (tmp_path / "out/nowhere").exists()


def test_stopped_in_a_batch_it_says_how_far_it_came(tmp_path):
    """Three that are quick, one that fails, and many that leave time for Ctrl-C."""
    inputs = [f"t{number:02}.mid" for number in range(24)]
    long = material.long_reel(3000)
    for number, name in enumerate(inputs):
        (tmp_path / name).write_bytes(material.reel() if number < 3 else b"nothing" if number == 3 else long)
    process = subprocess.Popen([PROGRAM, "convert", *inputs, "-d", "out", "--to", "mid", "--jobs", "1"], cwd=tmp_path,
                               stdin=subprocess.DEVNULL, stderr=subprocess.PIPE,
                               preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL))
    while not (tmp_path / "out/t04.mid").exists() and process.poll() is None:
        time.sleep(0.001)
    process.send_signal(signal.SIGINT)
    said = process.communicate(timeout=60)[1].decode()
    assert process.returncode == -signal.SIGINT, said
    far = re.search(r"^fifthpeg: stopped after (\d+) of 24 files, 1 of them failed; --skip-existing goes on from there$",
                    said, re.MULTILINE)
    # One may have got its name in the moment before.
    done = len(names(tmp_path / "out"))
    assert far and int(far[1]) - 1 in (done - 1, done) and 4 <= done < 23, said


@pytest.mark.parametrize("command", ["describe", "advise"])
def test_many_files_are_described(fifthpeg, tmp_path, reel, lick, valid, command):
    (tmp_path / "bad.mid").write_bytes(b"nothing")
    inputs = ["reel.mid", "bad.mid", "lick.musicxml"]
    result = fifthpeg(command, *inputs)
    assert result.status == 3
    alone = [fifthpeg(command, name) for name in inputs]
    assert result.out.decode() == alone[0].out.decode() + "\n" + alone[2].out.decode()
    assert result.err == "".join(one.err for one in alone)
    document = valid(fifthpeg(command, *inputs, "--json").out, "files")
    assert document["status"] == 3
    assert [file["input"] for file in document["files"]] == inputs
    for one, name in zip(document["files"], inputs):
        assert one == json.loads(fifthpeg(command, name, "--json").out)
        valid(json.dumps(one), "failure" if name == "bad.mid" else command)


def on_terminal(arguments, folder):
    """What the program writes to a standard error that is a terminal."""
    controller, terminal = pty.openpty()
    process = subprocess.Popen([PROGRAM, *map(str, arguments)], cwd=folder, stdin=subprocess.DEVNULL,
                               stdout=subprocess.DEVNULL, stderr=terminal)
    os.close(terminal)
    seen = b""
    try:
        while piece := os.read(controller, 65536):
            seen += piece
    except OSError:  # the other end is closed
        pass
    os.close(controller)
    process.wait(timeout=60)
    return seen


def test_progress_on_a_terminal_only(fifthpeg, tmp_path, tunes):
    arguments = ["convert", *tunes, "-d", "out", "--to", "txt", "--force"]
    seen = on_terminal(arguments, tmp_path)
    assert b"] 20 of 20" in seen and b"] 1 of 20" in seen
    # It is taken away again before anything else is said.
    assert seen.rstrip().endswith(b"fifthpeg: 14 converted, 6 failed")
    for line in seen.split(b"\r\n"):
        if b"fifthpeg: " in line:
            assert b" of 20" not in line.rsplit(b"\r\x1b[K", 1)[-1]
    assert "of 20" not in fifthpeg(*arguments).err
    assert b"of 20" not in on_terminal([*arguments, "--quiet"], tmp_path)
    assert b"[" not in on_terminal(["convert", tunes[0], "-o", "one.txt"], tmp_path)
