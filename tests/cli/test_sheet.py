"""Sheets: what is written where, and that other programs read it: PDF by qpdf and poppler, SVG by librsvg, and
the policy of a page by its own sums."""
import base64
import hashlib
import json
import re
import subprocess
import xml.etree.ElementTree as ET

import pytest
from conftest import ROOT, writing

FIXTURES = ROOT / "fixtures"
SLIDE, CHOKE = FIXTURES / "lick-slide.musicxml", FIXTURES / "lick-choke.musicxml"
JOY = FIXTURES / "soldiers-joy.musicxml"
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def sheet(fifthpeg, tmp_path):
    return writing(fifthpeg, tmp_path, "sheet", "out.pdf")


def output_of(*command):
    done = subprocess.run([*map(str, command)], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode()
    return done.stdout


def words_of(path, kind):
    """The texts of a kind in an SVG, in order."""
    root = ET.parse(path).getroot()
    return [text.text for group in root.iter(f"{SVG}g") if group.get("class") == kind for text in group]


def test_a_pdf_is_sound_and_has_its_fonts(sheet):
    path, said = sheet(SLIDE)
    assert said == ""
    output_of("qpdf", "--check", path)
    fonts = output_of("pdffonts", path).decode().splitlines()[2:]
    assert fonts and all(line.split()[-5] == "yes" for line in fonts)
    assert b"Title:           Lick 1: slide and pinch" in output_of("pdfinfo", path)


def test_its_text_comes_in_reading_order(sheet):
    path, _ = sheet(JOY)
    text = output_of("pdftotext", "-layout", path, "-").decode()
    at = text.index("Soldier's Joy")
    assert at < text.index("Tuning: open G (gDGBD)") < text.index("T thumb")
    numbers = [int(word) for word in output_of("pdftotext", "-raw", path, "-").decode().split() if word.isdigit()]
    # Measure after measure: the numbers of measures come in their order, whatever frets stand between them.
    wanted = list(range(1, 17))
    for number in numbers:
        if wanted and number == wanted[0]:
            wanted.pop(0)
    assert wanted == []


def test_the_same_file_gives_the_same_bytes(sheet):
    for name in ("a.pdf", "a.svg", "a.png"):
        first, _ = sheet(JOY, out=name)
        second, _ = sheet(JOY, out="again" + name)
        assert first.read_bytes() == second.read_bytes()


def test_an_svg_says_what_it_is(sheet):
    path, _ = sheet(SLIDE, "--fingers", out="out.svg")
    root = ET.parse(path).getroot()
    assert root.findtext(f"{SVG}title") == "Lick 1: slide and pinch"
    assert root.findtext(f"{SVG}desc").startswith("Banjo tab: Lick 1: slide and pinch, 5 measures. Tuning: open G")
    assert words_of(path, "chord-symbol") == ["G", "C", "D7", "G"]
    assert words_of(path, "title") == ["Lick 1: slide and pinch"]
    # The first two measures of the fixture.
    assert words_of(path, "fret")[:11] == ["0", "2", "2", "4", "0", "0", "0", "0", "0", "0", "0"]
    assert "".join(words_of(path, "picking-finger")[:9]) == "TTIMTIMTM"


def test_pages_of_pictures_are_files_of_their_own(sheet, fifthpeg, tmp_path):
    sheet(JOY, "--size", "2.5", out="joy.png")
    pages = sorted(path.name for path in tmp_path.glob("joy*.png"))
    assert pages == [f"joy-{page}.png" for page in range(1, len(pages) + 1)] and len(pages) > 2
    assert all((tmp_path / page).read_bytes().startswith(b"\x89PNG") for page in pages)
    assert "already exists" in sheet(JOY, "--size", "2.5", out="joy.png", status=4)[1]


def test_standard_output_is_a_pdf(fifthpeg):
    result = fifthpeg("sheet", SLIDE, "-o", "-")
    assert result.status == 0 and result.out.startswith(b"%PDF-") and result.out.rstrip().endswith(b"%%EOF")
    result = fifthpeg("sheet", "-", "-o", "-", input=SLIDE.read_bytes())
    assert result.status == 0 and result.out.startswith(b"%PDF-")


def test_paper(sheet):
    for options, size in [([], "595.276 x 841.89"), (["--landscape"], "841.89 x 595.276"),
                          (["--paper", "letter"], "612 x 792")]:
        path, _ = sheet(SLIDE, *options, out="-".join(["p", *options]).replace("--", "") + ".pdf")
        assert f"Page size:       {size} pts" in output_of("pdfinfo", path).decode()


def test_a_handout(sheet, tmp_path):
    (tmp_path / "note.txt").write_text("Slowly,\nwith the thumb.\n\nStop where it hurts.\n")
    path, _ = sheet(SLIDE, CHOKE, "--title", "Week 3", "--note", "@note.txt", out="week.svg")
    assert words_of(path, "title") == ["Week 3"]
    assert words_of(path, "subtitle") == ["Lick 1: slide and pinch", "Lick 2: chokes up the neck"]
    about = words_of(path, "about")
    assert about[:2] == ["Slowly, with the thumb.", "Stop where it hurts."]
    assert "G major; from G to G; 4 measures of 4/4 after a pickup; frets 1 to 4" in about
    assert "G major; from G to D; 3 measures of 4/4; frets 5 to 12" in about


def test_phrase_by_phrase(sheet):
    path, _ = sheet(CHOKE, "--phrases", "--every", "2", out="out.svg")
    about = words_of(path, "about")
    assert "measures 1 to 2" in about and "measure 3" in about
    once, _ = sheet(CHOKE, out="once.svg")
    assert len(words_of(path, "fret")) == 2 * len(words_of(once, "fret"))


LICKS = FIXTURES / "licks"
CABBAGE = FIXTURES / "boil-them-cabbage-down.mid"


def test_licks_in_their_place_in_a_tune(sheet):
    path, said = sheet(LICKS / "segue-g-c.musicxml", LICKS / "fill-g-forward.musicxml", "--in-tune", f"{CABBAGE}:3", "--chords", "infer",
                       "--title", "Week 3", "--phrases", "--every", "1", out="week.html")
    page = path.read_text()
    titles = re.findall(r'<li><a dir="auto" href="#piece-\d">(.*?)</a>', page)
    assert titles == ["Forward into C", "Forward into C, measure 1", "Forward into C, measure 2", "Forward into C in Boil Them Cabbage Down",
                      "A forward roll while the singer breathes", "A forward roll while the singer breathes, measure 1", "A forward roll while the singer breathes, measure 2", "A forward roll while the singer breathes in Boil Them Cabbage Down"]
    music = json.loads(re.search(r'<script type="application/json" id="music">(.*?)</script>', page, re.DOTALL)[1])
    # With the measure before it and the one after it.
    assert music["pieces"][3]["numbers"] == ["2", "3", "4"]
    assert "the lick stands in place of 3 notes of the melody: B3, B3, B3" in said


def test_a_lick_at_the_beginning_and_the_end_of_a_tune(sheet):
    for measure, numbers in [("1", ["1", "2"]), ("16", ["15", "16"])]:
        path, _ = sheet(LICKS / "fill-g-forward.musicxml", "--in-tune", f"{CABBAGE}:{measure}", "--force", out="lick.html")
        music = json.loads(re.search(r'<script type="application/json" id="music">(.*?)</script>', path.read_text(), re.DOTALL)[1])
        assert music["pieces"][1]["numbers"] == numbers


def test_a_lick_without_a_place_is_shown_alone(sheet, fifthpeg):
    path, said = sheet(LICKS / "fill-am-frailed.musicxml", "--in-tune", CABBAGE, out="lick.html")
    assert "the lick has no place in the tune" in said and "what the notes are for" not in said
    assert "<nav" not in path.read_text()
    path, said = sheet(LICKS / "fill-am-frailed.musicxml", LICKS / "fill-g-forward.musicxml", "--in-tune", f"{CABBAGE}:3", out="two.html")
    assert "modal G" in said and "speaks against this place: it leads to G, and the tune goes on with D" in said
    assert path.read_text().count("in Boil Them Cabbage Down</a>") == 1
    result = fifthpeg("sheet", LICKS / "fill-g-forward.musicxml", "--in-tune", f"{CABBAGE}:99", "-o", "x.pdf")
    assert result.status == 2 and "--in-tune: there is no measure 99 in the tune" in result.err
    result = fifthpeg("sheet", LICKS / "fill-g-forward.musicxml", "--in-tune", "missing.mid:7", "-o", "x.pdf")
    assert result.status == 3 and "missing.mid" in result.err


def test_measures_in_a_line(sheet):
    def lines(*options, out):
        path, _ = sheet(JOY, *options, out=out)
        return words_of(path, "string-name").count("g")
    assert lines("--measures-a-line", "2", "--size", "0.6", out="two.svg") == 8
    assert lines("--measures-a-line", "8", "--landscape", "--size", "0.5", out="eight.svg") == 2


def test_notes_without_places_are_given_some(sheet):
    path, said = sheet(FIXTURES / "boil-them-cabbage-down.mid", out="out.svg")
    assert "moved down an octave" in said
    assert len(words_of(path, "fret")) == len(words_of(path, "picking-finger"))


def test_hard_texts(sheet, tmp_path):
    title = "שיר הבנג'ו " + "very long " * 50
    path, said = sheet(SLIDE, "--title", title, out="out.pdf")
    output_of("qpdf", "--check", path)
    text = output_of("pdftotext", path, "-").decode()
    assert "שיר" in text or "ריש" in text
    missing = tmp_path / "missing.musicxml"
    missing.write_text(SLIDE.read_text().replace("slide and pinch", "\u0378\U0001F9FF"))
    _, said = sheet(missing, out="missing.pdf")
    assert "no font of this machine has some characters" in said


WRONG = [
    (["-o", "out.pdf"], 2, "no input given"),
    ([SLIDE], 2, "give -o OUT"),
    ([SLIDE, "-o", "out.jpg"], 2, ".pdf, .svg, .png or .html"),
    ([SLIDE, "-o", "out.pdf", "--every", "2"], 2, "--every needs --phrases"),
    ([SLIDE, "-o", "out.pdf", "--dpi", "100"], 2, "--dpi is for PNG"),
    ([SLIDE, "-o", "out.pdf", "--size", "9"], 2, "--size"),
    ([SLIDE, "-o", "out.pdf", "--note", "@nowhere"], 3, "nowhere"),
    (["nowhere.mid", "-o", "out.pdf"], 3, "nowhere.mid"),
    ([SLIDE, "-o", "nowhere/out.pdf"], 4, "nowhere/out.pdf"),
]


@pytest.mark.parametrize("arguments, status, named", WRONG)
def test_what_makes_no_sense(fifthpeg, tmp_path, arguments, status, named):
    result = fifthpeg("sheet", *arguments)
    assert result.status == status, result.err
    assert named in result.err and len(result.errors) == 1
    assert not list(tmp_path.iterdir())


def test_no_input_is_written_over(fifthpeg, tmp_path):
    source = tmp_path / "lick.png"
    source.write_bytes(SLIDE.read_bytes())
    result = fifthpeg("sheet", source, "-o", source, "--force")
    assert result.status == 2 and source.read_bytes() == SLIDE.read_bytes()


def test_a_page_that_plays(sheet):
    """What it does, tests/browser tries in a browser."""
    path, said = sheet(SLIDE, CHOKE, "--title", "Week 3", "--note", "Slowly & evenly.", "--fingers", out="week.HTML")
    assert said == ""
    page = path.read_text()
    assert page.startswith("<!DOCTYPE html>\n") and page.endswith("</html>\n")
    assert "<title>Week 3</title>" in page and '<p dir="auto">Slowly &amp; evenly.</p>' in page
    assert 'href="#piece-2"' in page and 'id="piece-2"' in page
    music = json.loads(re.search(r'<script type="application/json" id="music">(.*?)</script>', page, re.DOTALL)[1])
    slide, choke = music["pieces"]
    assert slide["title"] == "Lick 1: slide and pinch" and slide["numbers"] == ["0", "1", "2", "3", "4"]
    assert len({row[0] for row in slide["notes"]}) == len(slide["strokes"])
    assert all(row[3] in range(1, 6) for row in slide["notes"] + choke["notes"])


def test_the_policy_of_a_page_names_its_scripts(sheet):
    """By the sums of what stands in it, and nothing else may run."""
    path, _ = sheet(SLIDE, out="lick.html")
    page = path.read_text()
    policy = re.search(r'<meta http-equiv="Content-Security-Policy" content="([^"]*)">', page)[1]
    def source(text):
        return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
    scripts = re.findall(r'<script(?: id="instrument")?>(.*?)</script>', page, re.DOTALL)
    style = re.search(r"<style>(.*?)</style>", page, re.DOTALL)[1]
    assert policy == (f"default-src 'none'; img-src data:; style-src {source(style)}; script-src 'strict-dynamic' "
                      + " ".join(map(source, scripts)) + "; base-uri 'none'; form-action 'none'")


def test_a_page_plays_phrases_by_themselves(sheet):
    path, _ = sheet(CHOKE, "--phrases", "--every", "2", out="lick.html")
    page = path.read_text()
    titles = ["Lick 2: chokes up the neck", "Lick 2: chokes up the neck, measures 1 to 2", "Lick 2: chokes up the neck, measure 3"]
    assert re.findall(r'<li><a dir="auto" href="#piece-\d">(.*?)</a>', page) == titles
    music = json.loads(re.search(r'<script type="application/json" id="music">(.*?)</script>', page, re.DOTALL)[1])
    assert [piece["title"] for piece in music["pieces"]] == titles
    whole, first, second = (len(piece["notes"]) for piece in music["pieces"])
    assert first > second > 0 and first + second == whole


def test_a_page_is_no_picture(fifthpeg):
    result = fifthpeg("sheet", SLIDE, "-o", "lick.html", "--dpi", "100")
    assert result.status == 2 and "--dpi is for PNG" in result.err


def test_a_page_of_a_long_piece_grows_with_it(sheet, tmp_path):
    sizes = []
    for count in (100, 200, 400):
        measure = "".join(f"<note><pitch><step>{step}</step><octave>4</octave></pitch><duration>1</duration></note>" for step in "GBDG")
        (tmp_path / "long.musicxml").write_text(
            '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Banjo</part-name></score-part></part-list><part id="P1">'
            + "".join(f'<measure number="{i}">{"<attributes><divisions>1</divisions></attributes>" if i == 1 else ""}{measure}</measure>' for i in range(1, count + 1))
            + "</part></score-partwise>")
        path, _ = sheet("long.musicxml", "--force", out="long.html")
        sizes.append(path.stat().st_size)
    # What all pages have, and then so much a measure.
    a_measure = (sizes[1] - sizes[0]) / 100
    assert abs((sizes[2] - sizes[1]) / 200 - a_measure) < a_measure / 10
