"""Outputs are whole or not there; what exists is replaced only when asked; a failure is status 4."""

import os
import resource
import stat

import pytest

import material
from conftest import names

EXTENSIONS = ["musicxml", "xml", "mxl", "mid", "midi", "txt"]
FORMATS = ["musicxml", "mxl", "mid", "txt"]


def unwritable(result, file, says=""):
    assert result.status == 4, (result.status, result.err)
    assert len(result.errors) == 1, result.err
    assert result.errors[0].startswith(f"fifthpeg: {file}: "), result.err
    assert says in result.errors[0], result.err


@pytest.mark.parametrize("extension", EXTENSIONS)
def test_existing_file_is_kept_unless_forced(fifthpeg, tmp_path, reel, extension):
    out = tmp_path / f"out.{extension}"
    out.write_text("precious")
    unwritable(fifthpeg("convert", reel, "-o", out), out, "--force")
    assert out.read_text() == "precious"
    assert fifthpeg("convert", reel, "-o", out, "--force").status == 0
    assert out.read_bytes() != b"precious"
    assert names(tmp_path) == sorted([out.name, "reel.mid"])


def test_forced_replacement_that_fails_keeps_the_old_file(fifthpeg, tmp_path):
    (tmp_path / "bad.mid").write_bytes(b"nothing")
    (tmp_path / "out.mid").write_text("precious")
    assert fifthpeg("convert", "bad.mid", "-o", "out.mid", "--force").status == 3
    assert (tmp_path / "out.mid").read_text() == "precious"
    assert names(tmp_path) == ["bad.mid", "out.mid"]


def keeps_its_input(result, path, says):
    """Refused as wrong usage, in one line; nothing is written."""
    before = material.reel()
    assert result.status == 2 and result.out == b"", (result.status, result.err)
    assert len(result.err.splitlines()) == 1 and says in result.err, result.err
    assert path.read_bytes() == before


@pytest.mark.parametrize("force", [[], ["--force"]])
def test_an_input_is_never_written_over(fifthpeg, tmp_path, reel, force):
    (tmp_path / "shelf").mkdir()
    (tmp_path / "link.mid").symlink_to("reel.mid")
    (tmp_path / "twice.mid").symlink_to("link.mid")
    (tmp_path / "hard.mid").hardlink_to(reel)
    before = names(tmp_path)
    for out in ("reel.mid", "./shelf/../reel.mid", "link.mid", "twice.mid", "hard.mid"):
        keeps_its_input(fifthpeg("convert", "reel.mid", "-o", out, *force), reel, f"'{out}' is the input")
    keeps_its_input(fifthpeg("convert", "twice.mid", "-o", "reel.mid", *force), reel, "the input 'twice.mid' itself")
    with reel.open("rb") as stdin:
        keeps_its_input(fifthpeg("convert", "-", "-o", "reel.mid", *force, stdin=stdin), reel, "'standard input'")
    with reel.open("ab") as stdout:
        result = fifthpeg("convert", "reel.mid", "-o", "-", "--to", "mid", *force, stdout=stdout)
    assert result.status == 2 and reel.read_bytes() == material.reel()
    assert names(tmp_path) == before


# Each command that writes to standard output, or to a file named.
WRITERS = {
    "convert -o -": ["convert", "-o", "-", "--to", "txt"],
    "convert --json": ["convert", "-o", "out.txt", "--json"],
    "show": ["show"],
    "describe": ["describe"],
    "describe --json": ["describe", "--json"],
    "advise": ["advise"],
    "find": ["find"],
    "find --json": ["find", "--json"],
    "find -0": ["find", "-0"],
    "check": ["check"],
    "check --sarif": ["check", "--sarif"],
    "check --fix -": ["check", "--fix", "-"],
}


@pytest.mark.parametrize("writer, name", [
    (writer, name) for writer in WRITERS for name in ("reel.mid", "link.mid", "hard.mid", "-")
    if not (writer.startswith("find") and name == "-")])  # it does not read standard input
def test_no_command_writes_over_its_input(fifthpeg, tmp_path, reel, writer, name):
    """Standard output appended to the input, by whatever name that is read."""
    (tmp_path / "link.mid").symlink_to("reel.mid")
    (tmp_path / "hard.mid").hardlink_to(reel)
    command, *options = WRITERS[writer]
    with reel.open("ab") as stdout, reel.open("rb") as stdin:
        result = fifthpeg(command, name, *options, stdout=stdout, stdin=stdin)
    assert result.status == 2, result.err
    assert reel.read_bytes() == material.reel()
    assert len(result.err.splitlines()) == 1 and "is the input" in result.err
    assert "out.txt" not in names(tmp_path)


@pytest.mark.parametrize("command", [["show"], ["check"], ["describe", "--json"], ["find"], ["convert", "-o", "out.txt"]], ids=" ".join)
def test_no_message_is_written_into_an_input(fifthpeg, tmp_path, reel, command):
    with reel.open("ab") as stderr:
        assert fifthpeg(command[0], "reel.mid", *command[1:], stderr=stderr).status == 2
    assert reel.read_bytes() == material.reel() and names(tmp_path) == ["reel.mid"]


@pytest.mark.parametrize("force", [[], ["--force"]])
def test_a_fix_never_takes_the_place_of_its_input(fifthpeg, tmp_path, lick, force):
    before = lick.read_bytes()
    (tmp_path / "link.musicxml").symlink_to("lick.musicxml")
    (tmp_path / "hard.musicxml").hardlink_to(lick)
    for out in ("lick.musicxml", "link.musicxml", "hard.musicxml", "./lick.musicxml"):
        result = fifthpeg("check", "lick.musicxml", "--fix", out, *force)
        assert result.status == 2 and f"'{out}' is the input" in result.err, result.err
    with lick.open("rb") as stdin:
        assert fifthpeg("check", "-", "--fix", "lick.musicxml", *force, stdin=stdin).status == 2
    with lick.open("ab") as stdout:
        result = fifthpeg("check", "lick.musicxml", "--fix", "/dev/stdout", *force, stdout=stdout)
    assert result.status == 2
    assert lick.read_bytes() == before and lick.stat().st_nlink == 2


def test_a_file_of_positions_is_an_input_too(fifthpeg, tmp_path, reel):
    (tmp_path / "points.mid").write_text("1:1 string 3\n")
    for command in (["convert", "reel.mid", "-o", "points.mid", "--force"], ["show", "reel.mid"]):
        with open(tmp_path / "points.mid", "ab") as stdout:
            result = fifthpeg(*command, "--positions", "points.mid", stdout=stdout)
        assert result.status == 2 and "is the input" in result.err
        assert (tmp_path / "points.mid").read_text() == "1:1 string 3\n"


@pytest.mark.parametrize("force", [[], ["--force"]])
def test_no_input_of_a_batch_is_written_over(fifthpeg, tmp_path, reel, force):
    (tmp_path / "other.musicxml").write_bytes(material.lick())
    # Its own output, and the output of another one: nothing at all is converted.
    keeps_its_input(fifthpeg("convert", "other.musicxml", "reel.mid", "-d", ".", "--to", "mid", *force),
                    reel, "'./reel.mid' is the input 'reel.mid' itself")
    (tmp_path / "shelf").mkdir()
    (tmp_path / "shelf" / "other.mid").symlink_to("../reel.mid")
    keeps_its_input(fifthpeg("convert", "other.musicxml", "reel.mid", "-d", "shelf", "--to", "mid", *force),
                    reel, "'shelf/other.mid' is the input 'reel.mid' itself")
    assert names(tmp_path) == ["other.musicxml", "reel.mid", "shelf"]
    assert names(tmp_path / "shelf") == ["other.mid"]
    assert fifthpeg("convert", "other.musicxml", "reel.mid", "-d", ".", "--to", "txt").status == 0


def test_no_archive_that_would_be_refused(fifthpeg, tmp_path, reel):
    """The limit of what an archive may unpack to holds on the way out as on the way in."""
    limit = ["--max-bytes", "2000"]
    for out in ("out.mxl", "-"):
        result = fifthpeg("convert", "reel.mid", "-o", out, "--to", "mxl", *limit)
        unwritable(result, "standard output" if out == "-" else out, "would be refused when it is read again")
        assert result.out == b""
    assert names(tmp_path) == ["reel.mid"]
    assert fifthpeg("convert", "reel.mid", "-o", "out.musicxml", *limit).status == 0
    assert fifthpeg("convert", "reel.mid", "-o", "out.mxl").status == 0
    assert fifthpeg("show", "out.mxl", *limit).status == 3


def test_permissions_of_new_and_replaced_files(fifthpeg, tmp_path, reel):
    assert fifthpeg("convert", reel, "-o", "new.mid", umask=0o027).status == 0
    assert stat.S_IMODE((tmp_path / "new.mid").stat().st_mode) == 0o640
    (tmp_path / "new.mid").chmod(0o600)
    assert fifthpeg("convert", reel, "-o", "new.mid", "--force", umask=0o022).status == 0
    assert stat.S_IMODE((tmp_path / "new.mid").stat().st_mode) == 0o600


def test_symbolic_link_is_followed(fifthpeg, tmp_path, reel):
    (tmp_path / "shelf").mkdir()
    (tmp_path / "shelf/real.mid").write_text("old")
    (tmp_path / "link.mid").symlink_to("shelf/real.mid")
    unwritable(fifthpeg("convert", reel, "-o", "link.mid"), "link.mid", "--force")
    assert fifthpeg("convert", reel, "-o", "link.mid", "--force").status == 0
    assert (tmp_path / "link.mid").is_symlink()
    assert (tmp_path / "shelf/real.mid").read_bytes().startswith(b"MThd")
    assert names(tmp_path / "shelf") == ["real.mid"]


def test_symbolic_link_to_nowhere(fifthpeg, tmp_path, reel):
    (tmp_path / "link.mid").symlink_to("nowhere.mid")
    for force in ([], ["--force"]):
        unwritable(fifthpeg("convert", reel, "-o", "link.mid", *force), "link.mid", "symbolic link")
    assert names(tmp_path) == ["link.mid", "reel.mid"]


def test_directory_as_output(fifthpeg, tmp_path, reel):
    (tmp_path / "out.mid").mkdir()
    for force in ([], ["--force"]):
        unwritable(fifthpeg("convert", reel, "-o", "out.mid", *force), "out.mid", "use -d")
    assert names(tmp_path / "out.mid") == []


def test_directory_that_is_not_there(fifthpeg, tmp_path, reel):
    unwritable(fifthpeg("convert", reel, "-o", "shelf/out.mid"), "shelf/out.mid", "create the directory first")
    assert names(tmp_path) == ["reel.mid"]


def test_file_where_a_directory_should_be(fifthpeg, tmp_path, reel):
    unwritable(fifthpeg("convert", reel, "-o", "reel.mid/out.mid"), "reel.mid/out.mid", "Not a directory")
    unwritable(fifthpeg("convert", reel, "-d", "reel.mid", "--to", "txt"), "reel.mid/reel.txt")
    assert names(tmp_path) == ["reel.mid"]


def test_long_names(fifthpeg, tmp_path, reel):
    longest = "n" * 251 + ".mid"  # 255, the most that a name may have
    assert fifthpeg("convert", reel, "-o", longest).status == 0
    assert (tmp_path / longest).read_bytes().startswith(b"MThd")
    too_long = "n" * 252 + ".mid"
    unwritable(fifthpeg("convert", reel, "-o", too_long), too_long, "shorter name")
    deep = "/".join(["d" * 200] * 25) + "/out.mid"
    unwritable(fifthpeg("convert", reel, "-o", deep), deep, "shorter name")
    assert names(tmp_path) == sorted([longest, "reel.mid"])


def test_read_only_directory(as_nobody, open_folder):
    (open_folder / "reel.mid").write_bytes(material.reel())
    (open_folder / "shelf").mkdir()
    (open_folder / "shelf/old.mid").write_text("precious")
    (open_folder / "shelf").chmod(0o555)
    unwritable(as_nobody("convert", "reel.mid", "-o", "shelf/out.mid"), "shelf/out.mid", "Permission denied")
    unwritable(as_nobody("convert", "reel.mid", "-o", "shelf/old.mid", "--force"), "shelf/old.mid", "Permission denied")
    unwritable(as_nobody("convert", "reel.mid", "-d", "shelf", "--to", "txt"), "shelf/reel.txt", "Permission denied")
    assert names(open_folder / "shelf") == ["old.mid"]
    assert (open_folder / "shelf/old.mid").read_text() == "precious"


def test_write_protected_file_is_left_alone(as_nobody, open_folder):
    (open_folder / "reel.mid").write_bytes(material.reel())
    (open_folder / "old.mid").write_text("precious")
    (open_folder / "old.mid").chmod(0o444)
    unwritable(as_nobody("convert", "reel.mid", "-o", "old.mid", "--force"), "old.mid", "Permission denied")
    assert (open_folder / "old.mid").read_text() == "precious"
    assert names(open_folder) == ["old.mid", "program", "reel.mid"]


@pytest.mark.parametrize("format", FORMATS)
def test_full_disk(fifthpeg, tmp_path, reel, format):
    unwritable(fifthpeg("convert", reel, "-o", "/dev/full", "--to", format), "/dev/full", "No space left")
    with open("/dev/full", "wb") as full:
        unwritable(fifthpeg("convert", reel, "-o", "-", "--to", format, stdout=full), "standard output", "No space left")
    assert names(tmp_path) == ["reel.mid"]
    assert stat.S_ISCHR(os.stat("/dev/full").st_mode)  # still a device


@pytest.mark.parametrize(
    "arguments", [["show"], ["describe"], ["describe", "--json"], ["find"], ["find", "--json"], ["find", "-0"],
                  ["convert", "-o", "out.mid", "--json"]]
)
def test_full_disk_on_standard_output(fifthpeg, tmp_path, reel, arguments):
    with open("/dev/full", "wb") as full:
        unwritable(fifthpeg(arguments[0], reel, *arguments[1:], stdout=full), "standard output", "No space left")


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], ["convert", "--help"]])
def test_full_disk_for_help(fifthpeg, arguments):
    with open("/dev/full", "wb") as full:
        unwritable(fifthpeg(*arguments, stdout=full), "standard output", "No space left")


@pytest.mark.parametrize("format", FORMATS)
@pytest.mark.parametrize("limit", [0, 1, 100, 4096])
def test_file_size_limit(fifthpeg, tmp_path, format, limit):
    (tmp_path / "long.mid").write_bytes(material.long_reel(400))
    out = tmp_path / f"out.{format}"
    out.write_text("precious")
    result = fifthpeg("convert", "long.mid", "-o", out, "--force",
                      preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit)))
    if limit == 4096 and result.status == 0:
        assert out.stat().st_size <= limit
    else:
        unwritable(result, out, "File too large")
        assert out.read_text() == "precious"
    assert names(tmp_path) == sorted(["long.mid", out.name])


@pytest.mark.parametrize(
    "arguments",
    [["show"], ["describe"], ["describe", "--json"]] + [["convert", "-o", "-", "--to", name] for name in FORMATS],
    ids=" ".join,
)
def test_reader_that_has_gone(fifthpeg, tmp_path, arguments):
    """As in `fifthpeg show tune.mid | head`: quiet, and not killed by a signal."""
    (tmp_path / "long.mid").write_bytes(material.long_reel(400))
    read_end, write_end = os.pipe()
    os.close(read_end)
    try:
        result = fifthpeg(arguments[0], "long.mid", *arguments[1:], stdout=write_end)
    finally:
        os.close(write_end)
    assert result.status == 4
    assert result.errors == []


@pytest.mark.parametrize("format", FORMATS)
def test_pipes_on_both_sides_give_what_files_give(fifthpeg, tmp_path, reel, format):
    fixed = {"SOURCE_DATE_EPOCH": "86400"}
    piped = fifthpeg("convert", "-", "-o", "-", "--to", format, input=reel.read_bytes(), env=fixed)
    assert piped.status == 0, piped.err
    assert fifthpeg("convert", reel, "-o", "out", "--to", format, env=fixed).status == 0
    assert piped.out == (tmp_path / "out").read_bytes()


def test_strict_writes_nothing_into_pipes(fifthpeg, tmp_path, lick):
    """Of a lick's own strings and frets only the writer knows that MIDI loses them."""
    result = fifthpeg("convert", lick, "-o", "-", "--to", "mid", "--strict")
    assert result.status == 1 and result.out == b""
    assert fifthpeg("convert", lick, "-o", "-", "--to", "mid").out.startswith(b"MThd")
    os.mkfifo(tmp_path / "pipe.mid")
    reader = os.open(tmp_path / "pipe.mid", os.O_RDONLY | os.O_NONBLOCK)
    try:
        assert fifthpeg("convert", lick, "-o", "pipe.mid", "--strict").status == 1
        assert os.read(reader, 4) == b""
    finally:
        os.close(reader)
    strict = fifthpeg("convert", lick, "-o", "-", "--to", "musicxml", "--strict")
    assert strict.status == 0
    assert strict.out == fifthpeg("convert", lick, "-o", "-", "--to", "musicxml").out


def test_output_to_a_named_pipe(fifthpeg, tmp_path, reel):
    os.mkfifo(tmp_path / "pipe.mid")
    reader = os.open(tmp_path / "pipe.mid", os.O_RDONLY | os.O_NONBLOCK)
    try:
        assert fifthpeg("convert", reel, "-o", "pipe.mid").status == 0
        assert os.read(reader, 4) == b"MThd"
    finally:
        os.close(reader)
    assert stat.S_ISFIFO((tmp_path / "pipe.mid").stat().st_mode)
