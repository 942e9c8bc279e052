"""Inputs that were made to do harm: each gets its exit status, one clear line with the file and the place, within
stated memory and processor time, and leaves no output behind.

The bounds are the kernel's (bounded.py): the program is ended by a signal if it needs more. They are 256 MiB of
addresses and 5 s of processor time where nothing else is said, and what they are otherwise is stated with each.
"""

import io
import json
import os
import socket
import struct
import subprocess
import threading
import zipfile
import zlib

import pytest

import material
from bounded import MiB, SANITIZED, bounded
from conftest import ROOT, names

MEMORY = 256 * MiB
SECONDS = 5


def run(folder, *arguments, memory=MEMORY, seconds=SECONDS, **more):
    return bounded(folder, *arguments, memory=memory, seconds=seconds, **more)


def convert(folder, name, **more):
    return run(folder, "convert", name, "-o", "out.musicxml", **more)


def refused(folder, name, result, says="", place="", before=None):
    """One line about the file, with a place and what is wrong; nothing written."""
    assert result.status == 3, (result.status, result.err[-2000:])
    assert result.out == b""
    lines = result.err.splitlines()
    assert len(lines) == 1 and len(lines[0]) < 400, lines[:3]
    assert lines[0].startswith(f"fifthpeg: {name}: "), lines[0]
    assert says in lines[0] and place in lines[0], lines[0]
    assert names(folder) == sorted(before or [name])


def converted(folder, result, measures=None):
    """Done, and the output is whole."""
    assert result.status == 0, (result.status, result.err[-2000:])
    root = material.musicxml(folder / "out.musicxml")
    assert measures is None or len(root.findall("part/measure")) == measures
    return root


def measures_written(folder):
    """The same of an output that is too long to be parsed here: its measures are counted by line, and it has an end."""
    last, count = "", 0
    with open(folder / "out.musicxml") as file:
        for last in file:
            count += "<measure " in last
    assert last.strip() == "</score-partwise>"
    return count


# ---- cut off at every byte -------------------------------------------------------------------------


@pytest.mark.parametrize("fixture", ["irish-washerwoman.mid", "lick-choke.musicxml", "lick-slide.mxl"])
def test_cut_off_at_every_byte(tmp_path, fixture):
    whole = (ROOT / "fixtures" / fixture).read_bytes()
    extension = fixture.rsplit(".", 1)[1]
    inputs = [f"{size}.{extension}" for size in range(len(whole))]
    for size, name in enumerate(inputs):
        (tmp_path / name).write_bytes(whole[:size])
    result = run(tmp_path, "convert", *inputs, "-d", "out", "--to", "musicxml", "--json", memory=512 * MiB, seconds=30)
    report = json.loads(result.out)
    assert [file["input"] for file in report["files"]] == inputs
    read = []
    for file in report["files"]:
        assert file["status"] in (0, 3), file
        if file["status"] == 0:
            read.append(int(file["input"].split(".")[0]))
            # Not as if nothing were missing: something is told that is not told of the whole file.
            assert file["told"] != [] or extension != "mid", file
        else:
            assert file["error"]["what"]
    assert report["failed"] + report["converted"] == len(whole)
    written = {path.name for path in (tmp_path / "out").iterdir()} if (tmp_path / "out").exists() else set()
    assert written == {f"{size}.musicxml" for size in read}
    for size in read:
        material.musicxml(tmp_path / "out" / f"{size}.musicxml")
    assert result.status == 3
    if extension != "mid":  # XML whose end is missing, and an archive whose directory is missing, is none
        assert all(whole[size:].strip() == b"" for size in read)


def test_what_is_cut_off_says_where(tmp_path):
    whole = (ROOT / "fixtures" / "irish-washerwoman.mid").read_bytes()
    (tmp_path / "cut.mid").write_bytes(whole[:20])
    refused(tmp_path, "cut.mid", convert(tmp_path, "cut.mid"), place="byte 0x")
    (tmp_path / "cut.mid").unlink()
    whole = (ROOT / "fixtures" / "lick-choke.musicxml").read_bytes()
    (tmp_path / "cut.musicxml").write_bytes(whole[: len(whole) // 2])
    refused(tmp_path, "cut.musicxml", convert(tmp_path, "cut.musicxml"), place="line ")


# ---- the disk --------------------------------------------------------------------------------------


@pytest.mark.parametrize("extension", ["musicxml", "mxl", "mid", "txt"])
def test_full_disk(tmp_path, extension):
    """A limit on the size of files; where the machine lets us, a file system of 16 KiB that is really full as well."""
    inside = tmp_path / "disk"
    inside.mkdir()
    (tmp_path / "reel.mid").write_bytes(material.long_reel(2000))
    target = f"disk/out.{extension}"
    result = run(tmp_path, "convert", "reel.mid", "-o", target, file_size=8192)
    assert result.status == 4
    assert result.errors[0].startswith(f"fifthpeg: {target}: ") and len(result.errors) == 1
    assert names(inside) == []
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=16k", "none", inside], capture_output=True, check=False)
    if mounted.returncode != 0:
        return
    try:
        (inside / "other").write_bytes(b"x" * 4096)
        result = run(tmp_path, "convert", "reel.mid", "-o", target)
        assert result.status == 4
        assert result.errors[0].startswith(f"fifthpeg: {target}: ") and "No space left" in result.errors[0]
        assert names(inside) == ["other"]
    finally:
        subprocess.run(["umount", inside], check=True)


# ---- XML -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("where", ["root", "measure", "words"])
def test_nested_100000_deep(tmp_path, where):
    deep = "<a>" * 100_000 + "</a>" * 100_000
    text = material.lick().decode()
    if where == "root":
        text = deep
    elif where == "measure":
        text = text.replace("</measure>", deep + "</measure>")
    else:
        text = text.replace("<work>", f"<work>{deep}")
    (tmp_path / "deep.musicxml").write_text(text)
    refused(tmp_path, "deep.musicxml", convert(tmp_path, "deep.musicxml"), place="line ")


def test_nested_100000_deep_and_never_closed(tmp_path):
    (tmp_path / "deep.musicxml").write_text("<score-partwise>" + "<part>" * 100_000)
    refused(tmp_path, "deep.musicxml", convert(tmp_path, "deep.musicxml"), place="line ")


def large_score(path, size):
    """MusicXML of about so many bytes, most of it notes; returns how many measures."""
    quarter = material.xml_note("G", 4)
    first, end = material.xml_score(quarter * 4).decode().split("</part>")
    count = 1
    with open(path, "w") as file:
        file.write(first)
        while file.tell() < size:
            piece = "".join(f'<measure number="{number}">{quarter * 40}</measure>' for number in
                            range(count + 1, count + 101))
            file.write(piece)
            count += 100
        file.write("</part>" + end)
    return count


def test_200_megabytes_of_xml(tmp_path):
    """Refused at once by default, without being read; with a higher limit read, in at most 2 GiB and 40 s."""
    count = large_score(tmp_path / "large.musicxml", 200_000_000)
    result = convert(tmp_path, "large.musicxml", memory=64 * MiB if not SANITIZED else MEMORY, seconds=1)
    refused(tmp_path, "large.musicxml", result, "--max-bytes")
    result = run(tmp_path, "describe", "large.musicxml", "--max-bytes", "1G", "--quiet", memory=2048 * MiB, seconds=40)
    assert result.status == 0, result.err[-500:]
    assert f"{(count - 1) * 40 + 4} strokes" in result.out.decode()


def test_200_megabytes_of_one_text(tmp_path):
    """A title: at most 2 GiB and 30 s, and shown in short."""
    with open(tmp_path / "text.musicxml", "w") as file:
        start, end = material.lick().decode().split("Handout 3")
        file.write(start)
        for _ in range(200):
            file.write("handout " * 125_000)
        file.write(end)
    result = run(tmp_path, "describe", "text.musicxml", "--max-bytes", "1G", "--quiet", memory=2048 * MiB, seconds=30)
    assert result.status == 0, result.err[-500:]


def test_a_score_of_100000_measures(tmp_path):
    """Read, fingered and written in at most 384 MiB and 15 s."""
    quarter = material.xml_note("G", 4)
    (tmp_path / "long.musicxml").write_bytes(material.xml_score(*[quarter.replace("<duration>1", "<duration>4")
                                                                  .replace("quarter", "whole")] * 100_000))
    result = convert(tmp_path, "long.musicxml", memory=384 * MiB, seconds=15)
    assert result.status == 0, result.err[-500:]
    assert measures_written(tmp_path) == 100_000


def test_entities_are_not_expanded(tmp_path):
    """Ten entities, each ten times the one before: a thousand million laughs."""
    lol = '<!ENTITY l0 "ha">' + "".join(
        f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10))
    text = material.lick().decode().replace("<score-partwise", f"<!DOCTYPE score-partwise [{lol}]><score-partwise", 1)
    (tmp_path / "laughs.musicxml").write_text(text.replace("Handout 3", "&l9;"))
    result = convert(tmp_path, "laughs.musicxml", memory=128 * MiB, seconds=2)
    assert len((tmp_path / "out.musicxml").read_bytes()) < 100_000
    assert converted(tmp_path, result).findtext("work/work-title") == "&l9;"
    assert "laughs.musicxml: " in result.err and "entit" in result.err


class Listener:
    """Accepts connections on this machine and counts them."""

    def __enter__(self):
        self.socket = socket.create_server(("127.0.0.1", 0))
        self.port = self.socket.getsockname()[1]
        self.calls = 0
        self.thread = threading.Thread(target=self._listen, daemon=True)
        self.thread.start()
        return self

    def _listen(self):
        while True:
            try:
                connection, _ = self.socket.accept()
            except OSError:
                return
            self.calls += 1
            connection.close()

    def __exit__(self, *_):
        self.socket.shutdown(socket.SHUT_RDWR)
        self.socket.close()
        self.thread.join()


@pytest.mark.parametrize("packed", [False, True], ids=["musicxml", "mxl"])
@pytest.mark.parametrize("output", ["musicxml", "mid", "txt"])
def test_nothing_is_fetched(tmp_path, packed, output):
    """External DTD, external entities of the net and of a file, stylesheet, schema and link: none is opened."""
    secret = tmp_path / "secret"
    secret.write_text("the combination is 2-4-1-5")
    with Listener() as listener:
        net = f"http://127.0.0.1:{listener.port}"
        doctype = (
            f'<?xml-stylesheet href="{net}/style.xsl" type="text/xsl"?>'
            f'<!DOCTYPE score-partwise PUBLIC "-//Nobody//DTD None//EN" "{net}/partwise.dtd" ['
            f'<!ENTITY net SYSTEM "{net}/entity"><!ENTITY file SYSTEM "file://{secret}">'
            f'<!ENTITY % more SYSTEM "{net}/more.dtd"> %more;]>'
        )
        text = material.lick().decode()
        text = text.replace("<score-partwise", doctype + "<score-partwise", 1).replace("Handout 3", "&net;&file;")
        text = text.replace(
            '<score-partwise version="4.0">', '<score-partwise version="4.0" xmlns:xsi="http://www.w3.org/2001/'
            f'XMLSchema-instance" xsi:noNamespaceSchemaLocation="{net}/musicxml.xsd">')
        text = text.replace("</note>", f'</note><link xmlns:xlink="http://www.w3.org/1999/xlink" '
                            f'xlink:href="{net}/link"/>', 1)
        name = "fetch.musicxml"
        if packed:
            name = "fetch.mxl"
            (tmp_path / name).write_bytes(archive({"META-INF/container.xml": CONTAINER, "score.musicxml": text.encode()}))
        else:
            (tmp_path / name).write_text(text)
        result = run(tmp_path, "convert", name, "-o", f"out.{output}")
        assert result.status == 0, result.err
        assert b"combination" not in (tmp_path / f"out.{output}").read_bytes()
        assert "combination" not in result.err
        assert listener.calls == 0
        # And the listener would have known.
        socket.create_connection(("127.0.0.1", listener.port)).close()
        for _ in range(1000):
            if listener.calls:
                break
            threading.Event().wait(0.01)
        assert listener.calls == 1


# ---- what a file asks check to be silent about --------------------------------------------------------


@pytest.mark.parametrize("end", ["", "?>"], ids=["never closed", "closed"])
def test_many_words_for_silence(tmp_path, end):
    """A megabyte of them: every name counts once, and only if it is a rule's; at most 256 MiB and 2 s."""
    many = "".join(f'<?fifthpeg-check silence="tab x{number} time-{number} ' + end for number in range(40_000))
    (tmp_path / "silent.musicxml").write_bytes(material.lick().replace(b"<work>", many.encode() + b"<work>"))
    result = run(tmp_path, "check", "silent.musicxml", seconds=2)
    assert result.status == (0 if end else 3), result.out[:2000]
    assert len(result.out) < 2000
    assert (b"rules turned off by the file: tab\n" in result.out) == bool(end)


def test_many_attributes_in_one_tag(tmp_path):
    """Two megabytes of them in a score, in an entity, and in an archive's list of files."""
    many = b" ".join(b'a%d="b"' % number for number in range(200_000))
    score = material.lick()
    (tmp_path / "tag.musicxml").write_bytes(score.replace(b"<note>", b"<note " + many + b">", 1))
    entity = b"<!DOCTYPE score-partwise [<!ENTITY e '<a " + many + b"/>'>]><score-partwise"
    (tmp_path / "entity.musicxml").write_bytes(
        score.replace(b"<score-partwise", entity, 1).replace(b"Handout 3", b"&e;"))
    # Quotes in a document type hide nothing that comes behind it.
    hidden = b"<!DOCTYPE score-partwise [<!ENTITY e '> <!-- '>]><score-partwise"
    (tmp_path / "hidden.musicxml").write_bytes(
        score.replace(b"<score-partwise", hidden, 1).replace(b"<note>", b"<note " + many + b"><!-- -->", 1))
    container = CONTAINER.replace(b"<rootfile ", b"<rootfile " + many + b" ")
    (tmp_path / "list.mxl").write_bytes(archive({"META-INF/container.xml": container, "score.musicxml": score}))
    for name in names(tmp_path):
        result = run(tmp_path, "check", name, "--json", seconds=2)
        assert result.status in (1, 3), (name, result.out[:2000])
        rules = {finding["rule"] for finding in json.loads(result.out)["files"][0]["findings"]}
        assert rules & {"grammar-too-much", "mxl-container"}, (name, rules)
    refused(tmp_path, "list.mxl", convert(tmp_path, "list.mxl", seconds=2), "attributes", before=names(tmp_path))


# ---- archives --------------------------------------------------------------------------------------

CONTAINER = (
    b'<?xml version="1.0"?><container><rootfiles><rootfile full-path="score.musicxml"/></rootfiles></container>'
)


def archive(members):
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as file:
        for name, content in members.items():
            file.writestr(name, content)
    return packed.getvalue()


def zeros_archive(size):
    """A member of so many zeros (blanks inside a document), packed without holding them in memory."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as file:
        file.writestr("META-INF/container.xml", CONTAINER)
        with file.open("score.musicxml", "w", force_zip64=True) as member:
            member.write(b"<score-partwise>")
            for _ in range(size // MiB):
                member.write(bytes(MiB))
    return packed.getvalue()


def test_bomb_of_zeros(tmp_path):
    """Two gigabytes that were packed into two megabytes."""
    (tmp_path / "bomb.mxl").write_bytes(zeros_archive(2048 * MiB))
    assert (tmp_path / "bomb.mxl").stat().st_size < 3 * MiB
    refused(tmp_path, "bomb.mxl", convert(tmp_path, "bomb.mxl", seconds=3))


def test_bomb_that_lies_about_its_size(tmp_path):
    """The directory says that the member has a hundred bytes."""
    packed = bytearray(archive({"META-INF/container.xml": CONTAINER, "score.musicxml": b" " * (100 * MiB)}))
    size, said = struct.pack("<I", 100 * MiB), struct.pack("<I", 100)
    assert packed.count(size) == 2
    (tmp_path / "bomb.mxl").write_bytes(packed.replace(size, said))
    refused(tmp_path, "bomb.mxl", convert(tmp_path, "bomb.mxl", seconds=3))


def test_bomb_in_a_bomb(tmp_path):
    inner = zeros_archive(256 * MiB)
    (tmp_path / "bomb.mxl").write_bytes(archive({"META-INF/container.xml": CONTAINER, "score.musicxml": inner}))
    refused(tmp_path, "bomb.mxl", convert(tmp_path, "bomb.mxl", seconds=3))


def test_bomb_in_the_container(tmp_path):
    (tmp_path / "bomb.mxl").write_bytes(archive({
        "META-INF/container.xml": CONTAINER.replace(b"<rootfiles>", b"<rootfiles>" + b" " * (300 * MiB)),
        "score.musicxml": material.lick()}))
    refused(tmp_path, "bomb.mxl", convert(tmp_path, "bomb.mxl", seconds=3))


@pytest.mark.parametrize("count", [60_000])
def test_many_members(tmp_path, count):
    """Nearly as many as an archive can list; the score among them is read."""
    members = {"META-INF/container.xml": CONTAINER, "score.musicxml": material.lick()}
    members |= {f"{number}.xml": b"" for number in range(count)}
    (tmp_path / "many.mxl").write_bytes(archive(members))
    converted(tmp_path, convert(tmp_path, "many.mxl"), measures=1)


def test_many_rootfiles(tmp_path):
    roots = b"".join(b'<rootfile full-path="%d.xml"/>' % number for number in range(100_000))
    container = b"<container><rootfiles>" + roots + b"</rootfiles></container>"
    (tmp_path / "many.mxl").write_bytes(archive({"META-INF/container.xml": container, "a.xml": material.lick()}))
    converted(tmp_path, convert(tmp_path, "many.mxl"), measures=1)


@pytest.mark.parametrize("path", ["/etc/passwd", "../../outside.musicxml", "..\\outside.musicxml", "/outside.musicxml",
                                  "a/../../outside.musicxml", "C:\\outside.musicxml", "\x00", "score.musicxml/.."])
@pytest.mark.parametrize("inside", [True, False], ids=["a member of that name", "only named"])
def test_paths_that_lead_out_of_the_archive(tmp_path, path, inside):
    """Members are never written, and the file that lies outside is never read."""
    home = tmp_path / "home" / "deep"
    home.mkdir(parents=True)
    outside = material.lick().replace(b"Handout 3", b"Outside")
    (tmp_path / "outside.musicxml").write_bytes(outside)
    (tmp_path / "home" / "outside.musicxml").write_bytes(outside)
    before = sorted(str(entry) for entry in tmp_path.rglob("*"))
    escaped = path.encode().replace(b"\x00", b"&#0;")
    members = {"META-INF/container.xml": CONTAINER.replace(b"score.musicxml", escaped)}
    if inside and path != "\x00":
        members[path] = material.lick().replace(b"Handout 3", b"Inside")
    (home / "out.mxl").write_bytes(archive(members))
    result = convert(home, "out.mxl")
    if result.status == 0:
        assert converted(home, result).findtext("work/work-title") == "Inside"
        (home / "out.musicxml").unlink()
    else:
        refused(home, "out.mxl", result)
    (home / "out.mxl").unlink()
    assert sorted(str(entry) for entry in tmp_path.rglob("*")) == before


def test_archive_with_a_wrong_checksum(tmp_path):
    packed = bytearray(archive({"META-INF/container.xml": CONTAINER, "score.musicxml": material.lick()}))
    wrong = struct.pack("<I", zlib.crc32(material.lick()))
    assert packed.count(wrong) == 2
    (tmp_path / "crc.mxl").write_bytes(packed.replace(wrong, b"\x01\x02\x03\x04"))
    refused(tmp_path, "crc.mxl", convert(tmp_path, "crc.mxl"))


# ---- MIDI ------------------------------------------------------------------------------------------


def test_65535_tracks_that_are_not_there(tmp_path):
    """The header claims them; there is one, which is read, and the lie told."""
    whole = bytearray(material.reel())
    struct.pack_into(">H", whole, 10, 65_535)
    (tmp_path / "many.mid").write_bytes(whole)
    result = convert(tmp_path, "many.mid", seconds=2)
    converted(tmp_path, result)
    assert "65535 tracks" in result.err


def test_65535_tracks_that_are_there(tmp_path):
    tracks = material.voice("Banjo", material.line(material.REEL)) + material.track([]) * 65_534
    head = material.chunk(b"MThd", struct.pack(">HHH", 1, 65_535, material.TICKS))
    (tmp_path / "many.mid").write_bytes(head + tracks)
    converted(tmp_path, convert(tmp_path, "many.mid"), measures=4)


def test_65535_tracks_with_a_note_each(tmp_path):
    one = material.voice("T", [(0, 1, 67)])
    head = material.chunk(b"MThd", struct.pack(">HHH", 1, 65_535, material.TICKS))
    (tmp_path / "many.mid").write_bytes(head + one * 65_535)
    converted(tmp_path, convert(tmp_path, "many.mid"), measures=1)


def test_chunk_of_two_gigabytes(tmp_path):
    """A track that claims to be 2 GiB long in a file of a few hundred bytes: read as far as it goes, and told."""
    whole = bytearray(material.midi(material.voice("Banjo", material.line(material.REEL))))
    at = whole.rfind(b"MTrk")
    struct.pack_into(">I", whole, at + 4, 0x8000_0000)
    (tmp_path / "claims.mid").write_bytes(whole)
    result = convert(tmp_path, "claims.mid", seconds=2)
    converted(tmp_path, result, measures=4)
    assert "claims more bytes" in result.err


def test_file_of_two_gigabytes(tmp_path):
    """A chunk that is as long as it claims, with holes; refused for its size, however high the limit up to there."""
    with open(tmp_path / "long.mid", "wb") as file:
        file.write(material.reel()[:14] + b"MTrk" + struct.pack(">I", 0x8000_0000))
        file.truncate(22 + 0x8000_0000)
    refused(tmp_path, "long.mid", convert(tmp_path, "long.mid", seconds=2), "64 MiB")
    result = run(tmp_path, "convert", "long.mid", "-o", "out.musicxml", "--max-bytes", "2000M", seconds=2)
    refused(tmp_path, "long.mid", result)


def silence(times, division):
    """Two notes with so many times 2^28 - 1 ticks of silence between them."""
    strike = b"\x90\x43\x50" + material.quantity(division) + b"\x80\x43\x00"
    rest = b"\xff\xff\xff\x7f"
    events = b"\x00" + strike + (rest + b"\xff\x06\x01A") * (times - 1) + rest + strike + b"\x00\xff\x2f\x00"
    return material.chunk(b"MThd", struct.pack(">HHH", 0, 1, division)) + material.chunk(b"MTrk", events)


def held(measures):
    """A chord of three notes over so many measures, in some forty bytes."""
    keys = (55, 59, 62)
    events = b"".join(b"\x00\x90%c\x50" % key for key in keys) + material.quantity(4 * material.TICKS * measures)
    events += b"\x00".join(b"\x80%c\x00" % key for key in keys) + b"\x00\xff\x2f\x00"
    return (material.chunk(b"MThd", struct.pack(">HHH", 0, 1, material.TICKS)) + material.chunk(b"MTrk", events))


COMMANDS = [["convert", "-o", "out.musicxml"], ["advise"], ["check"], ["show"], ["describe"], ["find"]]


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command[0])
def test_a_chord_that_is_held_over_2000_measures(tmp_path, command):
    """Read, within 5 s whatever is done with it."""
    (tmp_path / "held.mid").write_bytes(held(2000))
    result = run(tmp_path, command[0], "held.mid", *command[1:])
    assert result.status == 0, result.err
    if command[0] == "convert":
        assert measures_written(tmp_path) == 2000


@pytest.mark.parametrize("make", [lambda: held(2002), lambda: held(139_000), lambda: silence(1, material.TICKS)],
                         ids=["a little more", "much more", "silence of 2 to the 28 ticks"])
@pytest.mark.parametrize("command", [command for command in COMMANDS if command[0] != "check"],
                         ids=lambda command: command[0])
def test_more_measures_without_a_note_of_their_own(tmp_path, make, command):
    """Forty bytes cost no more than one second."""
    (tmp_path / "held.mid").write_bytes(make())
    result = run(tmp_path, command[0], "held.mid", *command[1:], seconds=1)
    refused(tmp_path, "held.mid", result, "at most 2000 are read; shorten the silence or the note that is held")


@pytest.mark.parametrize("times, division", [(100, material.TICKS), (1, 1)], ids=["many times over", "in quarters"])
def test_silence_beyond_any_music(tmp_path, times, division):
    (tmp_path / "silence.mid").write_bytes(silence(times, division))
    refused(tmp_path, "silence.mid", convert(tmp_path, "silence.mid", seconds=2))


def many_events(count, event):
    head = material.chunk(b"MThd", struct.pack(">HHH", 0, 1, material.TICKS))
    note = b"\x00\x90\x43\x50" + material.quantity(material.TICKS) + b"\x80\x43\x00"
    return head + material.chunk(b"MTrk", note + event * count + b"\x00\xff\x2f\x00")


MANY = {
    "controllers": b"\x01\xb0\x07\x40",
    "bends": b"\x01\xe0\x11\x41",
    "unknown meta": b"\x00\xff\x60\x00",
    "markers": b"\x01\xff\x06\x00",
    "tempos": b"\x01\xff\x51\x03\x07\xa1\x20",
    "sysex": b"\x00\xf0\x01\xf7",
}


@pytest.mark.parametrize("kind", MANY)
def test_ten_million_events(tmp_path, kind):
    """Some 40 MB of one kind beside one note: read, in at most 1.5 GiB and 20 s."""
    (tmp_path / "busy.mid").write_bytes(many_events(10_000_000, MANY[kind]))
    limit = ["--max-bytes", "128M"]
    result = run(tmp_path, "convert", "busy.mid", "-o", "out.musicxml", *limit, memory=1536 * MiB, seconds=20)
    assert result.status == 0, result.err[-500:]
    assert measures_written(tmp_path) > 0


def test_ten_million_events_on_one_point(tmp_path):
    """Five million notes that are struck and let go at once: at most 1 GiB and 20 s."""
    (tmp_path / "busy.mid").write_bytes(many_events(5_000_000, b"\x00\x90\x43\x50\x00\x80\x43\x00"))
    converted(tmp_path, convert(tmp_path, "busy.mid", memory=1024 * MiB, seconds=20))


# ---- a batch ---------------------------------------------------------------------------------------


def test_the_others_of_a_batch_still_convert(tmp_path):
    """Hostile ones among sound ones, and the end says how many did and did not."""
    (tmp_path / "deep.musicxml").write_text("<a>" * 100_000)
    (tmp_path / "bomb.mxl").write_bytes(zeros_archive(128 * MiB))
    (tmp_path / "noise.mid").write_bytes(os.urandom(1000))
    os.mkfifo(tmp_path / "pipe.mid")
    for number in range(4):
        (tmp_path / f"good{number}.mid").write_bytes(material.reel())
    bad = ["deep.musicxml", "bomb.mxl", "noise.mid", "pipe.mid"]
    inputs = [name for pair in zip(bad, (f"good{number}.mid" for number in range(4))) for name in pair]
    result = run(tmp_path, "convert", *inputs, "-d", "out", "--to", "txt")
    assert result.status == 3
    assert names(tmp_path / "out") == [f"good{number}.txt" for number in range(4)]
    errors = [line for line in result.errors if any(line.startswith(f"fifthpeg: {name}: ") for name in bad)]
    assert len(errors) == 4
    last = result.err.splitlines()[-1]
    assert "4" in last, last
