"""Several inputs into a directory."""

import os
import pty
import subprocess

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
    assert len(result.err.splitlines()) == 1
    for name in (str(reel), "a/reel.musicxml", "out/reel.mxl"):
        assert name in result.err
    assert names(tmp_path) == ["a", "reel.mid"]  # not even the directory was made


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
