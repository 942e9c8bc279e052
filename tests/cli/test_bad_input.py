"""Inputs that are not what they should be: status 3, one clear line with the file, and no output."""

import os
import random
import resource
import socket
import subprocess

import pytest

import material
from conftest import BUILD, names

COMMANDS = {
    "convert": ["-o", "out.musicxml"],
    "show": [],
    "describe": [],
}


def refused(result, file, says=""):
    """One line, by us, about the file; nothing on standard output."""
    assert result.status == 3, (result.status, result.err)
    assert result.out == b""
    assert len(result.err.splitlines()) == 1, result.err
    assert result.err.startswith(f"fifthpeg: {file}: "), result.err
    assert says in result.err, result.err


@pytest.fixture(params=COMMANDS)
def command(request):
    return [request.param], COMMANDS[request.param]


def mxl_bomb():
    """Two megabytes of zeros that unpack from two kilobytes, where MusicXML should be."""
    import io
    import zipfile

    container = (
        '<?xml version="1.0"?><container><rootfiles><rootfile full-path="a.xml"/></rootfiles></container>'
    )
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("META-INF/container.xml", container)
        archive.writestr("a.xml", "<score-partwise>" + " " * 2_000_000 + "</score-partwise>")
    return packed.getvalue()


def noise(size, seed):
    return random.Random(seed).randbytes(size)


CONTENTS = {
    "empty.mid": b"",
    "empty.musicxml": b"",
    "empty.mxl": b"",
    "one.mid": b"M",
    "noise.mid": noise(10_000, 1),
    "noise.musicxml": noise(10_000, 2),
    "noise.mxl": b"PK\x03\x04" + noise(10_000, 3),
    "noise-in-tracks.mid": material.reel()[:22] + noise(5_000, 4),
    "only-the-head.mid": material.reel()[:14],
    "cut.musicxml": material.lick()[: len(material.lick()) // 2],
    "page.musicxml": b"<!DOCTYPE html><html><body>no music here</body></html>",
    "text.txt": b"a tune in words: g a b c\n",
    "picture.mid": b"\x89PNG\r\n\x1a\n" + noise(500, 5),
    "zeros.mid": bytes(4096),
}


@pytest.mark.parametrize("name", CONTENTS)
def test_content_that_is_no_music(fifthpeg, tmp_path, command, name):
    (tmp_path / name).write_bytes(CONTENTS[name])
    first, last = command
    refused(fifthpeg(*first, name, *last), name)
    assert names(tmp_path) == [name]


@pytest.mark.parametrize("name", CONTENTS)
def test_the_same_on_standard_input(fifthpeg, tmp_path, command, name):
    first, last = command
    refused(fifthpeg(*first, "-", *last, input=CONTENTS[name]), "standard input")
    assert names(tmp_path) == []


@pytest.mark.parametrize("kept", [15, 22, 30, 60, 100, 150])
def test_truncated_midi_never_gives_half_a_file(fifthpeg, tmp_path, command, kept):
    """Whether the rest can be read is the reader's to say; an output is whole or absent, a loss told."""
    (tmp_path / "cut.mid").write_bytes(material.reel()[:kept])
    first, last = command
    result = fifthpeg(*first, "cut.mid", *last)
    if result.status == 0:
        assert "cut.mid: " in result.err  # what was missing
        if first == ["convert"]:
            material.musicxml(tmp_path / "out.musicxml")
    else:
        refused(result, "cut.mid")
        assert names(tmp_path) == ["cut.mid"]


@pytest.mark.parametrize("cut", [0.2, 0.5, 0.9, 0.999])
def test_truncated_archive(fifthpeg, tmp_path, lick, command, cut):
    assert fifthpeg("convert", lick, "-o", "whole.mxl").status == 0
    whole = (tmp_path / "whole.mxl").read_bytes()
    (tmp_path / "cut.mxl").write_bytes(whole[: int(len(whole) * cut)])
    before = names(tmp_path)
    first, last = command
    refused(fifthpeg(*first, "cut.mxl", *last), "cut.mxl")
    assert names(tmp_path) == before


def test_an_error_in_xml_names_the_line(fifthpeg, tmp_path, command):
    text = material.lick().decode().replace("<measure", "\n\n\n<measure", 1).replace("</measure>", "</measur>", 1)
    (tmp_path / "odd.musicxml").write_text(text)
    first, last = command
    refused(fifthpeg(*first, "odd.musicxml", *last), "odd.musicxml", "line ")


def test_what_is_not_closed_is_named_with_the_line_it_begins_in(fifthpeg, tmp_path, command):
    text = material.lick().decode().replace("</note>", "</note>\n")
    begins = text[: text.index("<note>", text.index("</note>"))].count("\n") + 1
    second = text.index("</note>", text.index("</note>") + 1)
    (tmp_path / "odd.musicxml").write_text(text[:second] + text[second + len("</note>"):])
    first, last = command
    refused(fifthpeg(*first, "odd.musicxml", *last), "odd.musicxml",
            f"line {begins}: the XML is broken: <note> begins here and is not closed before </measure>")


def test_an_error_in_midi_names_the_byte(fifthpeg, tmp_path, command):
    (tmp_path / "odd.mid").write_bytes(CONTENTS["noise-in-tracks.mid"])
    first, last = command
    refused(fifthpeg(*first, "odd.mid", *last), "odd.mid", "byte 0x")


MISLABELLED = [
    ("reel.musicxml", material.reel(), "the name says MusicXML, the content is MIDI"),
    ("reel.mxl", material.reel(), "the name says compressed MusicXML, the content is MIDI"),
    ("lick.mid", material.lick(), "the name says MIDI, the content is MusicXML"),
    ("lick.MXL", material.lick(), "the name says compressed MusicXML, the content is MusicXML"),
]


@pytest.mark.parametrize("name, content, told", MISLABELLED)
def test_the_content_decides_and_a_wrong_name_is_told(fifthpeg, tmp_path, command, name, content, told):
    (tmp_path / name).write_bytes(content)
    first, last = command
    result = fifthpeg(*first, name, *last)
    assert result.status == 0, result.err
    assert f"{name}: repaired: {told}" in result.err


def test_a_name_without_a_promise_is_not_wrong(fifthpeg, tmp_path, command):
    (tmp_path / "reel").write_bytes(material.reel())
    first, last = command
    result = fifthpeg(*first, "reel", *last)
    assert result.status == 0 and "the name says" not in result.err


def test_no_such_file(fifthpeg, tmp_path, command):
    first, last = command
    refused(fifthpeg(*first, "nowhere.mid", *last), "nowhere.mid", "No such file")
    assert names(tmp_path) == []


def test_directory(fifthpeg, tmp_path, command):
    (tmp_path / "folder.mid").mkdir()
    first, last = command
    refused(fifthpeg(*first, "folder.mid", *last), "folder.mid", "is a directory")


def test_directory_as_standard_input(fifthpeg, tmp_path, command):
    first, last = command
    descriptor = os.open(tmp_path, os.O_RDONLY | os.O_DIRECTORY)
    try:
        refused(fifthpeg(*first, "-", *last, stdin=descriptor), "standard input", "is a directory")
    finally:
        os.close(descriptor)


def test_named_pipe_without_anybody_at_the_other_end(fifthpeg, tmp_path, command):
    os.mkfifo(tmp_path / "pipe.mid")
    first, last = command
    refused(fifthpeg(*first, "pipe.mid", *last, timeout=20), "pipe.mid", "is a pipe")


def test_endless_device(fifthpeg, command):
    first, last = command
    refused(fifthpeg(*first, "/dev/zero", *last), "/dev/zero", "is a device")


def test_socket(fifthpeg, tmp_path, command):
    first, last = command
    with socket.socket(socket.AF_UNIX) as listener:
        old = os.getcwd()
        os.chdir(tmp_path)
        try:
            listener.bind("socket.mid")
        finally:
            os.chdir(old)
        refused(fifthpeg(*first, "socket.mid", *last), "socket.mid", "cannot be read")


def test_no_permission(as_nobody, open_folder, command):
    path = open_folder / "private.mid"
    path.write_bytes(material.reel())
    path.chmod(0)
    first, last = command
    refused(as_nobody(*first, "private.mid", *last), "private.mid", "Permission denied")
    assert names(open_folder) == ["private.mid", "program"]


def test_too_large_by_option(fifthpeg, tmp_path, reel, command):
    first, last = command
    size = reel.stat().st_size
    refused(fifthpeg(*first, reel, *last, "--max-bytes", str(size - 1)), reel, "--max-bytes")
    refused(fifthpeg(*first, "-", *last, "--max-bytes", str(size - 1), input=reel.read_bytes()), "standard input",
            "--max-bytes")
    assert names(tmp_path) == ["reel.mid"]
    assert fifthpeg(*first, reel, *last, "--max-bytes", str(size)).status == 0


def test_too_large_by_default(fifthpeg, tmp_path, command):
    first, last = command
    with open(tmp_path / "huge.mid", "wb") as huge:
        huge.truncate((64 << 20) + 1)
    refused(fifthpeg(*first, "huge.mid", *last), "huge.mid", "64 MiB")
    # Up to the raised limit it is read, and found to be nothing.
    result = fifthpeg(*first, "huge.mid", *last, "--max-bytes", "65M")
    refused(result, "huge.mid")
    assert "--max-bytes" not in result.err


def test_endless_standard_input(fifthpeg, command):
    first, last = command
    with open("/dev/zero", "rb") as zeros:
        refused(fifthpeg(*first, "-", *last, "--max-bytes", "1M", stdin=zeros), "standard input", "1 MiB")


def test_archive_that_unpacks_to_more_than_the_limit(fifthpeg, tmp_path, command):
    (tmp_path / "bomb.mxl").write_bytes(mxl_bomb())
    first, last = command
    refused(fifthpeg(*first, "bomb.mxl", *last, "--max-bytes", "1M"), "bomb.mxl")


def is_sanitized():
    cache = BUILD / "CMakeCache.txt"
    return cache.exists() and "FIFTHPEG_SANITIZE:BOOL=ON" in cache.read_text()


if not is_sanitized():  # AddressSanitizer reserves terabytes of addresses, so that no limit on them can be set

    def test_not_enough_memory(fifthpeg, tmp_path, command):
        with open(tmp_path / "large.mid", "wb") as large:
            large.truncate(200 << 20)
        first, last = command
        limit = 96 << 20
        result = fifthpeg(*first, "large.mid", *last, "--max-bytes", "1G",
                          preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_AS, (limit, limit)))
        refused(result, "large.mid", "memory")
        assert names(tmp_path) == ["large.mid"]


def test_control_characters_never_reach_the_terminal(fifthpeg, tmp_path, command):
    """Neither from a file's name nor from its content."""
    name = "a\x1b[2J\nfifthpeg: b.mid"
    (tmp_path / name).write_bytes(b"nothing")
    first, last = command
    result = fifthpeg(*first, name, *last)
    assert result.status == 3
    assert len(result.err.splitlines()) == 1 and "\x1b" not in result.err

    title = "Reel\x1b]0;title\x07"
    (tmp_path / "title.mid").write_bytes(material.midi(material.voice(title, material.line(material.REEL)), title=title))
    result = fifthpeg(*first, "title.mid", *last)
    assert result.status == 0
    assert b"\x1b" not in result.out and "\x1b" not in result.err
    assert b"\x07" not in result.out and "\x07" not in result.err


def test_file_names_that_are_no_utf8(fifthpeg, tmp_path, valid):
    name = b"r\xffel.mid"
    with open(os.path.join(os.fsencode(tmp_path), name), "wb") as file:
        file.write(material.reel())
    result = fifthpeg("convert", os.fsdecode(name), "-o", "out.musicxml", "--json")
    assert result.status == 0
    assert valid(result.out, "report")["files"][0]["input"] == "r\ufffdel.mid"


def test_input_may_be_a_pipe(tmp_path, fifthpeg):
    """As at the end of `unpack tunes | fifthpeg show -`, in pieces."""
    read_end, write_end = os.pipe()
    writer = subprocess.Popen(
        ["sh", "-c", f"head -c 20 reel; sleep 0.2; tail -c +21 reel"], cwd=tmp_path, stdout=write_end
    ) if (tmp_path / "reel").write_bytes(material.reel()) else None
    os.close(write_end)
    result = fifthpeg("describe", "-", "--json", stdin=read_end)
    os.close(read_end)
    assert writer.wait() == 0
    assert result.status == 0, result.err
    assert b'"input": "-"' in result.out
