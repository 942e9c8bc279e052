"""What notes are for: kept from file to file, and --only takes one of the lines out of the music again."""

import re
import xml.etree.ElementTree as ET

import pytest

from conftest import ROOT
from material import midi_notes, xml_note, xml_score

# A tune of four measures on strings 3 and 2, with drone and fills between its notes: (step, octave, string, fret, role).
LINE = [
    ("G", 3, 3, 0, "melody"), ("D", 4, 1, 0, "fill"), ("G", 4, 5, 0, "drone"), ("D", 4, 1, 0, "fill"),
    ("A", 3, 3, 2, "melody"), ("B", 3, 2, 0, "fill"), ("G", 4, 5, 0, "drone"), ("B", 3, 2, 0, "melody"),
    ("C", 4, 2, 1, "melody"), ("D", 4, 1, 0, "fill"), ("G", 4, 5, 0, "drone"), ("D", 4, 1, 0, "fill"),
    ("B", 3, 2, 0, "melody"), ("G", 3, 3, 0, "lick"), ("A", 3, 3, 2, "lick"), ("G", 3, 3, 0, "lick"),
]


def play(role):
    return f'<play><other-play type="fifthpeg-role">{role}</other-play></play>'


@pytest.fixture
def arranged(tmp_path):
    def note(step, octave, string, fret, role):
        return xml_note(step, octave, 1, string, fret).replace("</note>", play(role) + "</note>")

    notes = [note(*one) for one in LINE]
    path = tmp_path / "arranged.musicxml"
    path.write_bytes(xml_score(*("".join(notes[at:at + 4]) for at in range(0, 16, 4))))
    return path


def kept(path):
    """Of the notation staff: (step + octave as they sound, role) of each note that is struck, and - of rests."""
    found = []
    for note in ET.parse(path).getroot().iter("note"):
        if note.findtext("staff") != "1":
            continue
        role = note.find("play/other-play[@type='fifthpeg-role']")
        pitch = note.find("pitch")
        if pitch is None:
            found.append("-")
        elif note.find("tie[@type='stop']") is None:
            found.append((pitch.findtext("step") + str(int(pitch.findtext("octave")) - 1),
                          None if role is None else role.text))
    return found


def frets(path):
    """The numbers on a sheet."""
    return [text.text for group in ET.parse(path).getroot().iter("{http://www.w3.org/2000/svg}g")
            if group.get("class") == "fret" for text in group]


def of(*roles):
    """What of the line these roles leave, rests next to each other as one. The melody alone lasts until its next note
    or the barline."""
    found = []
    for at, (step, octave, _, _, role) in enumerate(LINE):
        if at % 4 == 0:
            sounds_on = False
        if role in roles:
            found.append((f"{step}{octave}", role))
            sounds_on = set(roles) == {"melody"}
        elif found[-1:] != ["-"] and not sounds_on:
            found.append("-")
    return found


def joined(notes):
    """Without knowing into how many values a rest was divided."""
    return [one for at, one in enumerate(notes) if one != "-" or at == 0 or notes[at - 1] != "-"]


@pytest.mark.parametrize("arguments", [[], ["--staves", "tab"], ["--capo", "2"], ["--refinger", "all"]])
def test_roles_are_kept(fifthpeg, tmp_path, arranged, arguments):
    assert fifthpeg("convert", arranged, "-o", "out.musicxml", *arguments).status == 0
    roles = [one.text for one in ET.parse(tmp_path / "out.musicxml").getroot().iter("other-play")]
    staves = 1 if "--staves" in arguments else 2
    assert sorted(roles) == sorted([role for *_, role in LINE] * staves)


@pytest.mark.parametrize("only, roles", [
    ("melody", {"melody"}), ("melody,lick", {"melody", "lick"}), ("drone", {"drone"}), ("fill,melody", {"fill", "melody"}),
    ("kick-off,lick", {"lick"})])
def test_only_these_are_kept(fifthpeg, tmp_path, arranged, only, roles):
    result = fifthpeg("convert", arranged, "-o", "out.musicxml", "--only", only)
    assert result.status == 0, result.err
    assert joined(kept(tmp_path / "out.musicxml")) == joined(of(*roles))


def test_the_tune_is_as_it_was_in_every_format(fifthpeg, tmp_path, arranged):
    assert fifthpeg("convert", arranged, "-o", "tune.mid", "--only", "melody").status == 0
    heard, ticks = midi_notes((tmp_path / "tune.mid").read_bytes())
    assert [(tick // ticks, pitch) for tick, _, pitch in heard] == [(0, 55), (4, 57), (7, 59), (8, 60), (12, 59)]
    assert fifthpeg("convert", arranged, "-o", "tune.txt", "--only", "melody").status == 0
    shown = fifthpeg("show", arranged, "--only", "melody", "--width", "80")
    assert shown.out == (tmp_path / "tune.txt").read_bytes()
    assert b"g|-----" in shown.out and not re.search(rb"^g\|.*\d", shown.out, re.MULTILINE)


def test_the_other_commands_take_it_too(fifthpeg, tmp_path, arranged):
    assert fifthpeg("sheet", arranged, "-o", "tune.svg", "--only", "melody").status == 0
    assert fifthpeg("sheet", arranged, "-o", "all.svg").status == 0
    assert [len(frets(tmp_path / name)) for name in ("tune.svg", "all.svg")] == [5, 16]
    described = fifthpeg("describe", arranged, "--only", "drone")
    assert described.status == 0 and b"G4 to G4" in described.out
    assert fifthpeg("advise", arranged, "--only", "melody").status == 0


def test_text_tab_has_a_line_for_them(fifthpeg, tmp_path, arranged):
    shown = fifthpeg("show", arranged, "--roles")
    assert shown.status == 0 and "lost" not in shown.err
    lines = shown.out.decode().splitlines()
    letters = "".join(line[1:] for line in lines if line.startswith("=  ")).replace(" ", "")
    assert letters == "".join(role[0] for *_, role in LINE)
    assert "= under the tab: m melody, f fill, d drone, l lick, k kick-off, b backup" in lines
    plain = fifthpeg("show", arranged).out.decode().splitlines()
    assert [line for line in lines if line.strip() and not line.startswith("=")] == [line for line in plain if line.strip()]
    # What it says is read again, and leads to the same tune.
    (tmp_path / "lick.txt").write_bytes(shown.out)
    assert fifthpeg("convert", "lick.txt", "-o", "again.musicxml", "--only", "melody").status == 0
    assert joined(kept(tmp_path / "again.musicxml")) == joined(of("melody"))


def test_text_tab_without_that_line_tells_that_they_are_lost(fifthpeg, tmp_path, arranged):
    told = "lost: what notes are for (melody, fill ...) is not shown"
    without = fifthpeg("convert", arranged, "-o", "x.txt")
    assert without.status == 0 and told in without.err and "--roles adds a line for it" in without.err
    assert told not in fifthpeg("show", arranged).err  # where --roles is at hand
    assert fifthpeg("convert", arranged, "-o", "y.txt", "--roles").status == 0
    assert "lost" not in fifthpeg("convert", arranged, "-o", "w.txt", "--roles").err
    assert fifthpeg("convert", arranged, "-o", "z.txt", "--strict").status == 1
    assert fifthpeg("convert", arranged, "-o", "z.txt", "--strict", "--roles").status == 0


def test_a_sheet_marks_the_tune(fifthpeg, tmp_path, arranged, lick):
    assert fifthpeg("sheet", arranged, "-o", "roles.svg", "--roles").status == 0
    root = ET.parse(tmp_path / "roles.svg").getroot()
    groups = {kind: [one for group in root.iter("{http://www.w3.org/2000/svg}g") if group.get("class") == kind
                     for one in group] for kind in ("melody", "role", "about")}
    melody = [at for at, (*_, role) in enumerate(LINE) if role == "melody"]
    assert [one.get("data-stroke") for one in groups["melody"]] == [f"0.{at // 4}.{at % 4}" for at in melody]
    assert {one.tag for one in groups["melody"]} == {"{http://www.w3.org/2000/svg}rect"}
    assert [one.text for one in groups["role"] if one.text] == ["lick"]
    assert any("number in an outline: the melody" in one.text for one in groups["about"])
    for path in ("roles.pdf", "roles.png"):
        assert fifthpeg("sheet", arranged, "-o", path, "--roles").status == 0
    without = fifthpeg("sheet", lick, "-o", "plain.svg", "--roles")
    assert without.status == 0
    assert "nothing says what the notes are for, so that none is marked; 'fifthpeg arrange' writes" in without.err


@pytest.fixture
def with_backup(fifthpeg, tmp_path):
    """An arrangement of two parts."""
    result = fifthpeg("arrange", ROOT / "fixtures/soldiers-joy.musicxml", "--backup", "--level", "3", "-o", "two.musicxml")
    assert result.status == 0, result.err
    return tmp_path / "two.musicxml"


def test_of_two_parts_the_tune_is_drawn_and_the_other_named(fifthpeg, tmp_path, with_backup):
    told = "part 1 of 2 (Banjo) was read: its name says banjo; the other is Banjo backup; --part reads another"
    for command in (["sheet", with_backup, "-o", "tune.svg", "--roles"], ["show", with_backup, "--roles"]):
        result = fifthpeg(*command)
        assert result.status == 0 and told in result.err
    drawn = (tmp_path / "tune.svg").read_text()
    assert 'class="melody"' in drawn and "Banjo backup" not in drawn


@pytest.mark.parametrize("part", ["2", "Banjo backup"])
def test_the_backup_is_a_part_like_others(fifthpeg, tmp_path, with_backup, part):
    result = fifthpeg("sheet", with_backup, "-o", "backup.svg", "--part", part, "--roles")
    assert result.status == 0 and result.err == ""
    drawn = (tmp_path / "backup.svg").read_text()
    assert ">Banjo backup<" in drawn
    assert 'class="melody"' not in drawn and 'class="role"' not in drawn  # its name tells it
    shown = fifthpeg("show", with_backup, "--part", part, "--roles")
    assert shown.status == 0 and shown.err == ""
    letters = {letter for line in shown.out.decode().splitlines() if line.startswith("=  ") for letter in line[1:]}
    assert letters == {" ", "b"}
    assert "Banjo backup" in shown.out.decode().splitlines()[1]
    assert fifthpeg("convert", with_backup, "-o", "backup.mid", "--part", part).status == 0


def test_a_midi_file_has_the_tune_louder(fifthpeg, tmp_path, arranged):
    result = fifthpeg("convert", arranged, "-o", "out.mid")
    assert result.status == 0 and "heard only as loudness" in result.err
    data = (tmp_path / "out.mid").read_bytes()
    velocities = [(one[0], one[1]) for one in re.findall(rb"[\x90\x00](\x37|\x43)([\x01-\x7f])", data)]
    assert {velocity[0] for pitch, velocity in velocities if pitch == b"\x37"} == {80}  # G3: melody and lick
    assert {velocity[0] for pitch, velocity in velocities if pitch == b"\x43"} == {56}  # g: drone


@pytest.mark.parametrize("arguments, told", [
    (["--only", "melodie"], "'melodie' is not what a note can be for; choose melody, fill, drone, lick, kick-off or backup"),
    (["--only", "melody,rules"], "'rules'"),
    (["--only", ","], "give one or several, such as melody,lick"),
    (["--only", "backup"], "no note of the score is of that kind: they are melody, fill, drone and lick"),
])
def test_what_is_no_role_is_refused(fifthpeg, tmp_path, arranged, arguments, told):
    result = fifthpeg("convert", arranged, "-o", "out.musicxml", *arguments)
    assert result.status == 2 and told in result.err
    assert not (tmp_path / "out.musicxml").exists()


@pytest.mark.parametrize("command", [["convert", "-o", "out.musicxml"], ["show"], ["sheet", "-o", "out.pdf"], ["describe"]])
def test_music_without_roles_is_refused(fifthpeg, lick, command):
    result = fifthpeg(command[0], lick, *command[1:], "--only", "melody")
    assert result.status == 2
    assert len(result.errors) == 1
    assert "the score does not say what its notes are for; --only is for what 'fifthpeg arrange' writes" in result.err


def test_in_a_batch_the_others_are_written(fifthpeg, tmp_path, arranged, lick):
    result = fifthpeg("convert", arranged, lick, "-d", "out", "--to", "musicxml", "--only", "melody")
    assert result.status == 2 and "lick.musicxml: the score does not say" in result.err
    assert [one.name for one in (tmp_path / "out").iterdir()] == ["arranged.musicxml"]


def test_an_unknown_role_is_told(fifthpeg, tmp_path, arranged):
    arranged.write_text(arranged.read_text().replace(">drone<", ">harmony<", 1))
    result = fifthpeg("convert", arranged, "-o", "out.musicxml")
    assert result.status == 0 and "a role that is not one of melody, fill" in result.err
    assert fifthpeg("convert", arranged, "-o", "strict.musicxml", "--strict").status == 1
    checked = fifthpeg("check", arranged)
    assert b"a role that is not one of melody" in checked.out and b"[reading-left-out]" in checked.out


def test_the_fixtures_say_nothing_of_roles(fifthpeg):
    """What is not music of 'arrange' gets no roles from anywhere."""
    for name in ("lick-slide.musicxml", "soldiers-joy.musicxml"):
        assert "fifthpeg-role" not in (ROOT / "fixtures" / name).read_text()
        assert b"fifthpeg-role" not in fifthpeg("convert", ROOT / "fixtures" / name, "-o", "-", "--to", "musicxml").out
