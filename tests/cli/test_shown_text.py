"""What comes from outside, names of files and texts of music, never reaches a terminal, or a program that reads a report,
as anything but text: no control character of ISO 646 (C0) or ISO 6429 (C1), no escape sequence, no bidirectional control
of Unicode Standard Annex 9, no separator of lines."""

import json
import re
import subprocess

import pytest

import material
from conftest import names

# ESC, BEL, a back space, a carriage return, a C1 control sequence introducer, an override, an isolate, a mark, an Arabic
# mark, both separators.
ACTS = "\x1b]0;owned\x07\x1b[31m\x08\r\x9b31m\u202e\u2066\u200f\u061c\u2028\u2029"
IN_XML = "".join(f"&#{ord(character)};" for character in ACTS)
UNSAFE = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u2028\u2029\u202a-\u202e\u2066-\u2069]")


def musicxml():
    """Every text that a score can show holds them."""
    text = (
        material.lick().decode()
        .replace("<work>", f"<work><work-number>{IN_XML}</work-number>")
        .replace("Handout 3", f"Title {IN_XML}")
        .replace("</work>", "</work><identification>" + "".join(
            f'<creator type="{kind}">{kind} {IN_XML}</creator>' for kind in ("composer", "arranger", "lyricist", IN_XML))
            + f"<rights>rights {IN_XML}</rights><source>source {IN_XML}</source></identification>")
        .replace("<part-name>Banjo", f"<part-name>Banjo {IN_XML}")
        .replace('number="1"', f'number="1{IN_XML}"')
        .replace("<note>", "<direction><direction-type><words>words "
                 f"{IN_XML}</words></direction-type></direction><direction><direction-type><rehearsal>{IN_XML}</rehearsal>"
                 f"</direction-type></direction><harmony><root><root-step>G</root-step></root><kind text=\"{IN_XML}\">major"
                 f"</kind></harmony><{'x' * 3}>{IN_XML}</xxx><note foo=\"{IN_XML}\">", 1)
        .replace("</note>", f"<lyric><text>lyric {IN_XML}</text></lyric></note>", 1)
    )
    return text.encode()


def midi():
    """Texts of every kind, as raw bytes in UTF-8 and in Latin-1."""
    texts = b"".join(
        material.quantity(0) + material.meta(kind, raw)
        for kind in range(1, 10) for raw in (ACTS.encode(), ACTS.encode("latin-1", "replace"))
    )
    whole = material.reel()
    at = whole.rfind(b"MTrk")
    length = int.from_bytes(whole[at + 4:at + 8], "big") + len(texts)
    return whole[:at + 4] + length.to_bytes(4, "big") + texts + whole[at + 8:]


FILES = {"tune.musicxml": musicxml, "tune.mid": midi, "lick.musicxml": material.lick, "bad.mid": lambda: b"nothing"}
# What a file name cannot hold is the slash, and NUL.
NAMES = {"plain": "", "acting": ACTS, "no UTF-8": "\udcff\udc9b31m", "of two lines": "\nfifthpeg: all is well"}

COMMANDS = [
    "convert {} -o out.txt", "convert {} -o out.musicxml --json", "convert {} {copy} -d out --to mid", "convert {} -o - --to txt",
    "convert {} -o {}", "show {}", "show {} --explain --shapes --fingers", "describe {}", "describe {} --json", "advise {}",
    "advise {} --json", "advise {} --part {}", "check {}", "check {} --json", "check {} --sarif", "check {} --fix {}.fixed",
    "find {}", "find . --json", "find . {}.missing --json", "find lick.musicxml --like {}", "find . --from {}", "find . --technique {}",
    "show {}.missing", "describe {}.missing --json", "show lick.musicxml --at {}", "show lick.musicxml --positions {}", "{}", "show --{}",
    "show lick.musicxml --tuning {}", "convert lick.musicxml -o {}", "convert lick.musicxml -o x --to {}",
]


def safe(text, where):
    text = text.decode("utf-8")
    found = UNSAFE.search(text)
    assert found is None, (where, text[max(0, found.start() - 60):found.end() + 20])


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("file", FILES)
def test_nothing_acts(fifthpeg, tmp_path, file, name):
    stem, extension = file.split(".")
    path = f"{stem}{NAMES[name]}.{extension}"
    (tmp_path / path).write_bytes(FILES[file]())
    (tmp_path / f"copy{NAMES[name]}.{extension}").write_bytes(FILES[file]())
    if path != "lick.musicxml":
        (tmp_path / "lick.musicxml").write_bytes(material.lick())
    for command in COMMANDS:
        words = [word.replace("{copy}", f"copy{NAMES[name]}.{extension}").replace("{}", path) for word in command.split()]
        result = fifthpeg(*words, "--force") if command.startswith("convert") and "{} -o {}" not in command else fifthpeg(*words)
        safe(result.out, command)
        safe(result.err.encode(), command)
        for line in result.err.splitlines():
            assert not line.startswith("fifthpeg: all is well"), command
        if "--json" in command or "--sarif" in command:
            json.loads(result.out)
    for output in ("out.txt",):
        if (tmp_path / output).exists():
            safe((tmp_path / output).read_bytes(), output)


def test_the_command_of_advice_still_names_the_file(fifthpeg, tmp_path):
    """Escaped so that bash reads the name again."""
    path = f"it's {ACTS} \\ 100%.mid"
    (tmp_path / path).write_bytes(material.reel())
    line = next(line.strip() for line in fifthpeg("advise", path).out.decode().splitlines() if "fifthpeg convert" in line)
    said = subprocess.run(["bash", "-c", f"printf '%s\\n' {line.removeprefix('fifthpeg convert ').split(' -o ')[0]} x"],
                          capture_output=True, check=True).stdout
    assert said == path.encode() + b"\nx\n"
    assert names(tmp_path) == [path]


def test_reports_keep_the_text_itself(fifthpeg, tmp_path):
    """Escaped in JSON, it is the same text for whoever reads that."""
    (tmp_path / "tune.musicxml").write_bytes(musicxml())
    title = json.loads(fifthpeg("describe", "tune.musicxml", "--json").out)["work"]["title"]
    assert title.endswith(ACTS[-6:]) and "\x9b" in title
