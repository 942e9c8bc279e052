"""`check`: findings for people and for programs, and an exit status that a script can use."""

import difflib
import json
import re

import pytest

import material
from conftest import ROOT
from rules_table import table
from sarif_schema import faults

FIXTURES = sorted(p for p in (ROOT / "fixtures").iterdir() if p.suffix in (".mid", ".musicxml", ".mxl"))
SLIDE = (ROOT / "fixtures" / "lick-slide.musicxml").read_text(encoding="utf-8")


@pytest.fixture
def clean(tmp_path):
    path = tmp_path / "clean.musicxml"
    path.write_text(SLIDE, encoding="utf-8")
    return path


@pytest.fixture
def wrong(tmp_path):
    """An error (a fret), a warning (a slide without its end)."""
    text = SLIDE.replace("<string>4</string><fret>4</fret>", "<string>4</string><fret>3</fret>")
    text = text.replace('<slide type="stop" number="1" line-type="solid"/>', "")
    assert text != SLIDE
    path = tmp_path / "wrong.musicxml"
    path.write_text(text, encoding="utf-8")
    return path


def line_with(path, text):
    return next(n for n, line in enumerate(path.read_text().splitlines(), 1) if text in line)


def test_fixtures_are_clean(fifthpeg):
    result = fifthpeg("check", "--min-severity", "warning", *FIXTURES)
    assert (result.status, result.err) == (0, "")
    assert result.out.decode() == f"{len(FIXTURES)} files: 0 errors, 0 warnings, 0 notes\n"


def test_findings_for_people(fifthpeg, wrong, clean):
    result = fifthpeg("check", clean, wrong, "--skip", "teaching")
    assert result.status == 1
    text = result.out.decode()
    lines = text.splitlines()
    assert str(clean) not in text  # there is nothing to say about it
    assert lines[0] == str(wrong)
    fret = line_with(wrong, "<string>4</string><fret>3</fret>")
    assert re.fullmatch(
        rf"  error: part Banjo, measure 3, beat 4\.5, line {fret}, string 4: fret 3 is F4, and the note is F#4; "
        r"fret 4 would be F#4 \[tab-fret-contradicts-pitch\]", lines[1])
    assert lines[2].startswith("      ")  # how to fix it
    assert re.search(r"^  warning: .*measure 1.*\[pairs-slide\]$", text, re.MULTILINE)
    assert text.index("error:") < text.index("warning:")
    assert lines[-2] == "  1 error, 1 warning, 0 notes"
    assert lines[-1] == "2 files: 1 error, 1 warning, 0 notes"


def test_same_bytes_each_time(fifthpeg, wrong, clean):
    for form in ("--json", "--sarif", "--strict"):
        once = fifthpeg("check", wrong, clean, *FIXTURES, form, "--jobs", 1)
        again = fifthpeg("check", wrong, clean, *FIXTURES, form, "--jobs", 4)
        assert once.out == again.out


def test_statuses(fifthpeg, wrong, clean, tmp_path):
    assert fifthpeg("check", clean).status == 0
    assert fifthpeg("check", wrong).status == 1
    assert fifthpeg("check", wrong, "--only", "pairs").status == 0
    assert fifthpeg("check", wrong, "--only", "pairs", "--strict").status == 1
    assert fifthpeg("check", clean, "--strict").status == 0
    cut = tmp_path / "cut.musicxml"
    cut.write_text(wrong.read_text()[:-400])
    result = fifthpeg("check", cut, wrong)
    assert result.status == 3
    assert "grammar-not-xml" in result.out.decode() and "tab-fret-contradicts-pitch" in result.out.decode()
    result = fifthpeg("check", tmp_path / "nowhere.mid", clean)
    assert result.status == 3 and len(result.errors) == 1
    (tmp_path / "note.txt").write_text("no music")
    result = fifthpeg("check", tmp_path / "note.txt")
    assert result.status == 3 and "[file-unknown]" in result.out.decode()


@pytest.mark.parametrize("arguments, says", [
    ((), "no input"),
    (("x.mid", "--only", "no-such-rule"), "no-such-rule"),
    (("x.mid", "--skip", "tab,nonsense"), "nonsense"),
    (("x.mid", "--min-severity", "bad"), "note, warning or error"),
    (("x.mid", "--min-severity", "error", "--max-severity", "note"), "leaves no rule"),
    (("x.mid", "--json", "--sarif"), "choose either"),
    (("-", "-"), "only once"),
    (("x.mid", "y.mid", "--fix", "z.mid"), "one input"),
    (("x.mid", "--fix", "-", "--json"), "standard output"),
])
def test_wrong_usage(fifthpeg, arguments, says):
    result = fifthpeg("check", *arguments)
    assert result.status == 2
    assert says in result.err and len(result.errors) == 1


def test_severities(fifthpeg, wrong):
    errors = fifthpeg("check", wrong, "--min-severity", "error").out.decode()
    assert "[tab-fret-contradicts-pitch]" in errors and "[pairs-slide]" not in errors
    rest = fifthpeg("check", wrong, "--max-severity", "warning")
    assert rest.status == 0
    assert "[pairs-slide]" in rest.out.decode() and "[tab-fret-contradicts-pitch]" not in rest.out.decode()


def test_silence_is_reported(fifthpeg, wrong, valid):
    wrong.write_text(wrong.read_text().replace(
        "<work>", '<?fifthpeg-check silence="tab-fret-contradicts-pitch pairs-slide"?><work>'))
    result = fifthpeg("check", wrong, "--skip", "teaching")
    assert result.status == 0
    assert "turned off by the file: tab-fret-contradicts-pitch pairs-slide" in result.out.decode()
    document = valid(fifthpeg("check", wrong, "--json").out, "check")
    assert document["files"][0]["silenced"] == ["tab-fret-contradicts-pitch", "pairs-slide"]


def test_a_missing_note_in_plain_words(fifthpeg, tmp_path):
    """The first staff lacks an eighth, and the file goes back by the whole measure."""
    def note(staff, length, kind):
        return (f"<note><pitch><step>G</step><octave>4</octave></pitch><duration>{length}</duration>"
                f"<voice>{staff}</voice><type>{kind}</type><staff>{staff}</staff></note>")
    first = note(1, 4, "half") + note(1, 2, "quarter") + note(1, 1, "eighth")
    path = tmp_path / "two.musicxml"
    path.write_text(
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Piano</part-name></score-part>'
        '</part-list><part id="P1"><measure number="1"><attributes><divisions>2</divisions><time><beats>4</beats>'
        f"<beat-type>4</beat-type></time><staves>2</staves></attributes>{first}"
        f"<backup><duration>8</duration></backup>{note(2, 8, 'whole')}</measure></part></score-partwise>")
    assert ("the notes of the staff or voice before this are an eighth note shorter than what the file goes back by to "
            "begin the next one (<backup>)") in fifthpeg("check", path).out.decode()


def test_rules(fifthpeg, valid):
    text = fifthpeg("check", "--rules").out.decode()
    document = valid(fifthpeg("check", "--rules", "--json").out, "check-rules")
    slugs = [rule["rule"] for rule in document["rules"]]
    assert len(slugs) == len(set(slugs)) > 80
    for rule in document["rules"]:
        assert f"  {rule['rule']} ({rule['severity']}" in text
        assert rule["wrong"] in text and rule["mend"] in text


def test_the_table_of_rules_is_written_down(fifthpeg):
    rules = json.loads(fifthpeg("check", "--rules", "--json").out)["rules"]
    written = (ROOT / "schemas" / "check-rules.md").read_text(encoding="utf-8")
    assert written == table(rules)  # if not: see rules_table.py
    assert {rule["family"] for rule in rules} == {
        "midi-bytes", "container", "grammar", "time", "pairs", "tab", "technique", "hands", "reading", "teaching"}


def test_what_is_wrong_many_times_over_is_summed_up(fifthpeg, tmp_path):
    path = tmp_path / "digits.musicxml"
    path.write_text(re.sub("<pluck>.</pluck>", "<pluck>?</pluck>", SLIDE), encoding="utf-8")
    count = SLIDE.count("<pluck>")
    assert count > 12
    text = fifthpeg("check", path, "--only", "technique").out.decode()
    assert text.count("[technique-pluck]") == 8
    assert re.search(rf"^      and {count - 8} more, in measures 1, 2, 3 and 4; --all lists them$", text,
                     re.MULTILINE)
    assert f"{count} warnings" in text
    whole = fifthpeg("check", path, "--only", "technique", "--all").out.decode()
    assert whole.count("[technique-pluck]") == count and "more" not in whole
    report = json.loads(fifthpeg("check", path, "--only", "technique", "--json").out)
    assert len(report["files"][0]["findings"]) == count


def test_worst_first_and_by_place(fifthpeg, tmp_path):
    """Within a file errors stand before warnings before notes, and each of these by line."""
    text = SLIDE.replace("<fret>2</fret>", "<fret>3</fret>").replace("<pluck>I</pluck>", "<pluck>?</pluck>")
    path = tmp_path / "several.musicxml"
    path.write_text(re.sub("<work>.*</work>", "", text, flags=re.DOTALL), encoding="utf-8")
    found = json.loads(fifthpeg("check", path, "--json").out)["files"][0]["findings"]
    weights = [["error", "warning", "note"].index(one["severity"]) for one in found]
    assert weights == sorted(weights) and set(weights) == {0, 1, 2}
    for weight in (0, 1, 2):
        lines = [one["place"].get("line") or 0 for one, of in zip(found, weights) if of == weight]
        assert lines == sorted(lines)
    listed = [line.split(":")[0].strip() for line in fifthpeg("check", path, "--all").out.decode().splitlines()
            if line.startswith("  ") and line.endswith("]")]
    assert listed == [one["severity"] for one in found]


def test_several_files_unreadable_ones_among_them(fifthpeg, wrong, clean, tmp_path):
    """Each file has its say, in the order given, whatever the others are."""
    (tmp_path / "folder").mkdir()
    (tmp_path / "empty.mid").write_bytes(b"")
    (tmp_path / "cut.mid").write_bytes(material.reel()[:60])
    (tmp_path / "cut.mxl").write_bytes((ROOT / "fixtures" / "lick-slide.mxl").read_bytes()[:700])
    names = [str(wrong), "nowhere.musicxml", "folder", "empty.mid", str(clean), "cut.mid", "cut.mxl"]
    result = fifthpeg("check", *names, "--skip", "teaching")
    assert result.status == 3
    text = result.out.decode()
    heads = [line for line in text.splitlines() if not line.startswith(" ")]
    assert heads[:-1] == [str(wrong), "empty.mid", "cut.mid", "cut.mxl"]
    assert heads[-1].startswith("7 files: ") and heads[-1].endswith("; 5 files not read completely")
    assert [name for name in ("nowhere.musicxml", "folder") if any(name in line for line in result.errors)] == [
        "nowhere.musicxml", "folder"]
    assert len(result.errors) == 2
    cut = json.loads(fifthpeg("check", "cut.mid", "--json").out)["files"][0]["findings"][0]
    assert (cut["rule"], cut["place"]["byte"]) == ("midi-cut-off", 60)


def test_a_file_that_is_cut_off_is_said_to_be_first(fifthpeg, tmp_path):
    (tmp_path / "cut.musicxml").write_text(SLIDE[: len(SLIDE) // 2], encoding="utf-8")
    (tmp_path / "cut.mid").write_bytes(material.reel()[:60])
    (tmp_path / "cut.mxl").write_bytes((ROOT / "fixtures" / "lick-slide.mxl").read_bytes()[:700])
    (tmp_path / "none.mid").write_bytes(b"no music")
    for name in ("cut.musicxml", "cut.mid", "cut.mxl"):
        for options in ([], ["--only", "teaching-no-rights"]):
            lines = fifthpeg("check", name, *options).out.decode().splitlines()
            assert lines[:2] == [name, "  could not be read to its end"]
    assert "cut off" not in fifthpeg("check", "none.mid").out.decode()


@pytest.mark.parametrize("form", ["text", "--json", "--sarif"])
def test_same_bytes_with_any_number_of_jobs(fifthpeg, wrong, clean, tmp_path, form):
    (tmp_path / "cut.mid").write_bytes(material.reel()[:60])
    names = [wrong, "nowhere.mid", clean, "cut.mid", *FIXTURES] * 3
    options = () if form == "text" else (form,)
    outputs = {(result.status, result.out, result.err)
               for jobs in (1, 2, 2, 5) for result in [fifthpeg("check", *names, *options, "--jobs", jobs)]}
    assert len(outputs) == 1


def test_json(fifthpeg, valid, wrong, clean, tmp_path):
    result = fifthpeg("check", wrong, clean, tmp_path / "nowhere.mid", "--json")
    document = valid(result.out, "check")
    assert document["status"] == result.status == 3
    first, second, third = document["files"]
    assert (first["status"], first["errors"], first["warnings"]) == (1, 1, 1)
    finding = first["findings"][0]
    assert (finding["rule"], finding["string"], finding["place"]["measure"], finding["place"]["beat"]) == (
        "tab-fret-contradicts-pitch", 4, "3", "9/2")
    assert (second["status"], second["errors"], second["readable"]) == (0, 0, True)
    assert third["status"] == 3 and third["error"] and not third["readable"]


def test_sarif(fifthpeg, wrong, tmp_path):
    reel = tmp_path / "cut reel.mid"
    reel.write_bytes(material.reel()[:-9])
    result = fifthpeg("check", wrong, reel, tmp_path / "nowhere.mid", "--sarif")
    log = json.loads(result.out)
    assert faults(log) == []
    run = log["runs"][0]
    rules = run["tool"]["driver"]["rules"]
    for one in run["results"]:
        assert rules[one["ruleIndex"]]["id"] == one["ruleId"]
    fret = next(one for one in run["results"] if one["ruleId"] == "tab-fret-contradicts-pitch")
    region = fret["locations"][0]["physicalLocation"]["region"]
    assert fret["level"] == "error"
    assert "string 4: fret 3 is F4" in fret["message"]["text"]
    assert region == {"startLine": line_with(wrong, "<string>4</string><fret>3</fret>")}
    cut = next(one for one in run["results"] if one["ruleId"] == "midi-cut-off")
    assert cut["locations"][0]["physicalLocation"]["artifactLocation"]["uri"].endswith("/cut%20reel.mid")
    assert cut["locations"][0]["physicalLocation"]["region"]["byteOffset"] == len(material.reel()) - 9
    assert run["invocations"][0]["executionSuccessful"] is False


def test_the_published_schema_finds_faults(fifthpeg, wrong):
    log = json.loads(fifthpeg("check", wrong, "--sarif").out)
    del log["runs"][0]["tool"]
    log["runs"][0]["results"][0]["colour"] = "red"
    log["runs"][0]["results"][0]["level"] = "bad"
    assert len(faults(log)) == 3


def test_standard_input(fifthpeg, wrong):
    result = fifthpeg("check", "-", input=wrong.read_bytes())
    assert result.status == 1
    assert result.out.decode().startswith("standard input\n")


def test_fix(fifthpeg, valid, tmp_path):
    text = SLIDE.replace('<measure number="0" implicit="yes">', '<measure number="0">')
    text = text.replace("<voice>1</voice><type>quarter</type>", "<voice>1</voice>", 1)
    assert text != SLIDE
    path = tmp_path / "in.musicxml"
    path.write_text(text, encoding="utf-8")
    result = fifthpeg("check", path, "--fix", "out.musicxml", "--json")
    assert result.status == 0
    file = valid(result.out, "check")["files"][0]
    assert {fix["rule"] for fix in file["mended"]} == {"time-pickup-unmarked", "time-no-type"}
    assert not {"time-pickup-unmarked", "time-no-type"} & {finding["rule"] for finding in file["findings"]}
    fixed = (tmp_path / "out.musicxml").read_text(encoding="utf-8")
    # Two lines differ, each by what was put in.
    changes = [line for line in difflib.ndiff(text.splitlines(), fixed.splitlines()) if line[0] in "+-"]
    assert len(changes) == 4
    assert fixed.replace(' implicit="yes"', "", 1).replace("<type>quarter</type>", "", 1).count("\n") == text.count("\n")
    assert sorted(fixed.replace("<type>quarter</type>", "")) == sorted(
        text.replace("<type>quarter</type>", "") + ' implicit="yes"')

    assert fifthpeg("check", path, "--fix", "out.musicxml").status == 4  # it exists
    listed = fifthpeg("check", path, "--fix", "out.musicxml", "--force")
    assert listed.out.decode().count("  fixed: ") == 2
    to_stdout = fifthpeg("check", path, "--fix", "-")
    assert to_stdout.out.decode() == fixed and "fixed:" in to_stdout.err


def test_fix_says_what_it_did(fifthpeg, tmp_path):
    """One pickup to mark; a wrong fret, which only its teacher can fix."""
    marked = '<measure number="0" implicit="yes">'
    wrong_fret = SLIDE.replace("<fret>2</fret>", "<fret>3</fret>", 1)
    assert wrong_fret != SLIDE

    def said(text):
        (tmp_path / "in.musicxml").write_text(text, encoding="utf-8")
        options = ["--only", "time-pickup-unmarked,tab-fret-contradicts-pitch"]
        found = json.loads(fifthpeg("check", "in.musicxml", "--json", *options).out)["files"][0]["findings"]
        result = fifthpeg("check", "in.musicxml", "--fix", "out.musicxml", "--force", *options)
        lines = [line.strip() for line in result.out.decode().splitlines() if "out.musicxml" in line]
        assert len(lines) == 1, result.out
        written = (tmp_path / "out.musicxml").exists()
        if written:
            assert (tmp_path / "out.musicxml").read_text(encoding="utf-8") != text
            (tmp_path / "out.musicxml").unlink()
        assert result.status == (1 if any(finding["severity"] == "error" for finding in found) and not all_fixed(lines[0])
                                 else 0)
        return len(found), lines[0], written

    def all_fixed(line):
        return line.startswith("fixed all")

    assert said(SLIDE) == (0, "nothing to fix; nothing was written to out.musicxml", False)
    count, line, written = said(SLIDE.replace(marked, '<measure number="0">'))
    assert (line, written) == (f"fixed all findings ({count}) in out.musicxml", True)
    count, line, written = said(wrong_fret)
    assert count > 0 and not written
    need = "1 finding needs" if count == 1 else f"{count} findings need"
    assert line == f"nothing could be fixed, since no finding has one right answer; {need} your decision; " \
                   "nothing was written to out.musicxml"
    rest = count
    count, line, written = said(wrong_fret.replace(marked, '<measure number="0">'))
    assert (line, written) == (f"fixed {count - rest} of {count} findings in out.musicxml; {need} your decision", True)
    assert 0 < rest < count


def played(fifthpeg, path):
    """Everything that is heard: onset, length and pitch of each note."""
    target = path.with_suffix(".played.mid")
    assert fifthpeg("convert", path, "-o", target, "--force", "--quiet").status == 0
    return target.read_bytes()


@pytest.mark.parametrize("name", ["lick-slide.musicxml", "lick-choke.musicxml", "soldiers-joy.musicxml"])
def test_fix_changes_what_it_lists_and_nothing_else(fifthpeg, tmp_path, name):
    """All that --fix can fix, broken at once: the result differs from the broken file only in the lines of the fixes."""
    text = (ROOT / "fixtures" / name).read_text(encoding="utf-8")
    broken = text
    for before, after in (('implicit="yes"', ""), ("<type>eighth</type>", ""), ("<type>quarter</type>", "")):
        at = broken.find(before)
        if at >= 0:
            broken = broken[:at] + after + broken[at + len(before):]
    assert broken != text
    path = tmp_path / "in.musicxml"
    path.write_text(broken, encoding="utf-8")
    before = json.loads(fifthpeg("check", path, "--json").out)["files"][0]
    report = json.loads(fifthpeg("check", path, "--fix", "out.musicxml", "--json").out)["files"][0]
    fixed = (tmp_path / "out.musicxml").read_text(encoding="utf-8")
    assert report["mended"]
    rules = {fix["rule"] for fix in report["mended"]}
    assert rules <= {finding["rule"] for finding in before["findings"]}
    assert not rules & {finding["rule"] for finding in report["findings"]}

    def others(file):
        return [(finding["rule"], finding["text"]) for finding in file["findings"] if finding["rule"] not in rules]

    assert others(report) == others(before)
    # Lines are not moved, and those that differ are those of the fixes, each only by what was put in.
    old, new = broken.splitlines(), fixed.splitlines()
    assert len(old) == len(new)
    changed = {number for number, (a, b) in enumerate(zip(old, new), 1) if a != b}
    assert changed == {fix["place"]["line"] for fix in report["mended"]}
    for number in changed:
        rest = iter(new[number - 1])
        assert all(letter in rest for letter in old[number - 1])  # nothing was taken out
    for element in ("pitch", "duration", "alter", "step", "octave", "string", "fret"):
        assert re.findall(f"<{element}>[^<]*", broken) == re.findall(f"<{element}>[^<]*", fixed)
    assert played(fifthpeg, path) == played(fifthpeg, tmp_path / "out.musicxml")
    again = json.loads(fifthpeg("check", "out.musicxml", "--fix", "twice.musicxml", "--json").out)["files"][0]
    assert again["mended"] == [] and not (tmp_path / "twice.musicxml").exists()


def test_fix_of_midi(fifthpeg, reel, tmp_path):
    whole = reel.read_bytes()
    track = whole.rindex(b"MTrk")
    cut = material.without_end(whole)
    (tmp_path / "open.mid").write_bytes(cut)
    result = fifthpeg("check", "open.mid", "--fix", "shut.mid", "--json")
    report = json.loads(result.out)["files"][0]
    assert [fix["rule"] for fix in report["mended"]] == ["midi-no-end-of-track"]
    assert "midi-no-end-of-track" not in {finding["rule"] for finding in report["findings"]}
    fixed = (tmp_path / "shut.mid").read_bytes()
    assert fixed[:track + 4] == cut[:track + 4] and fixed[track + 8:-4] == cut[track + 8:]
    assert fixed[-4:] == b"\x00\xff\x2f\x00"


def test_fix_refuses_an_archive(fifthpeg, tmp_path):
    result = fifthpeg("check", ROOT / "fixtures" / "lick-slide.mxl", "--fix", "out.mxl")
    assert result.status == 3 and len(result.errors) == 1
    assert not (tmp_path / "out.mxl").exists()
