"""What a handout says beside the music: given on the command line, or taken from the file and its name."""
import shutil
import xml.etree.ElementTree as ET

import pytest
from conftest import ROOT

FIXTURES = ROOT / "fixtures"


@pytest.fixture
def written(fifthpeg, tmp_path):
    """Converts, and returns the root of the XML and what was said."""
    def convert(source, *options):
        result = fifthpeg("convert", source, "-o", "out.musicxml", "--force", *options)
        assert result.status == 0, result.err
        return ET.parse(tmp_path / "out.musicxml").getroot(), result.err
    return convert


def test_words_are_given(written):
    root, said = written(FIXTURES / "soldiers-joy.mid", "--title", "The Joy & Sorrow", "--composer", "A. Nother",
                         "--credit", "Traditional", "--rights", "Copy it freely", "--part-name", "Banjo II")
    assert root.findtext("work/work-title") == "The Joy & Sorrow"
    assert root.findtext("identification/creator[@type='composer']") == "A. Nother"
    assert root.findtext("identification/source") == "Traditional"
    assert root.findtext("identification/rights") == "Copy it freely"
    assert root.findtext("part-list/score-part/part-name") == "Banjo II"
    assert "is called" not in said


def test_a_file_without_title_takes_its_name(written, tmp_path):
    untitled = ET.parse(FIXTURES / "lick-slide.musicxml")
    root = untitled.getroot()
    for tag in ("work", "movement-title", "credit"):
        for element in root.findall(tag):
            root.remove(element)
    path = tmp_path / "kick-off_in_g.musicxml"
    untitled.write(path)
    root, said = written(path)
    assert root.findtext("work/work-title") == "kick off in g"
    assert "there is no title; it is called 'kick off in g' after the file; --title gives another" in said


def test_the_part_is_a_banjo(written, tmp_path):
    fiddle = tmp_path / "fiddle.musicxml"
    text = (FIXTURES / "lick-slide.musicxml").read_text()
    shutil.copy(FIXTURES / "lick-slide.musicxml", fiddle)
    name = ET.fromstring(text.encode()).findtext("part-list/score-part/part-name")
    fiddle.write_text(text.replace(f"<part-name>{name}</part-name>", "<part-name>Fiddle</part-name>"))
    root, said = written(fiddle)
    assert root.findtext("part-list/score-part/part-name") == "Banjo"
    assert "the part 'Fiddle' is called Banjo now" in said
    root, said = written(FIXTURES / "lick-slide.musicxml")
    assert root.findtext("part-list/score-part/part-name") == name
    assert "is called" not in said


def test_one_tempo_in_beats(written):
    root, _ = written(FIXTURES / "irish-washerwoman.mid", "--tempo", "80")
    tempos = [float(sound.get("tempo")) for sound in root.iter("sound") if sound.get("tempo")]
    assert tempos == [120.0]  # 80 dotted quarters
    assert root.findtext(".//metronome/per-minute") == "80"


def test_nothing_to_note_beside_what_only_a_person_knows(fifthpeg, written):
    written(FIXTURES / "soldiers-joy.mid", "--credit", "Traditional", "--rights", "Copy it freely", "--tempo", "80")
    said = fifthpeg("check", "out.musicxml").out.decode()
    for rule in ("teaching-no-title", "teaching-no-credit", "teaching-no-rights", "teaching-no-tempo",
                 "teaching-part-unnamed"):
        assert rule not in said
