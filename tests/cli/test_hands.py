"""What the hands are asked for: style, part of the neck, size of hand and banjo; and `advise`."""

import json
import re
import shlex
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

import material

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"

SCALE_OF_G = [55, 57, 59, 60, 62, 64, 66, 67]


def notes_of(fifthpeg, path, *options):
    """(string, fret, digit or "") of every note on the tab staff."""
    result = fifthpeg("convert", path, "-o", "-", "--to", "musicxml", "--staves", "tab", *options)
    assert result.status == 0, result.err
    found = []
    for note in ET.fromstring(result.out).iter("note"):
        technical = note.find("notations/technical")
        if technical is not None and technical.find("string") is not None:
            digit = technical.findtext("pluck") or ("nail" if technical.find("fingernails") is not None else "")
            found.append((int(technical.findtext("string")), int(technical.findtext("fret")), digit))
    return found


@pytest.fixture
def scale(tmp_path):
    path = tmp_path / "scale.mid"
    path.write_bytes(material.midi(material.voice("Fiddle", material.line(SCALE_OF_G, 0.5), program=41)))
    return path


def test_melodic_lays_a_scale_across_the_strings(fifthpeg, scale):
    """Common practice, from memory: 3:0 4:7 2:0 3:5 1:0 2:5 1:4 5:0."""
    places = [(string, fret) for string, fret, _ in notes_of(fifthpeg, scale, "--style", "melodic")]
    assert places == [(3, 0), (4, 7), (2, 0), (3, 5), (1, 0), (2, 5), (1, 4), (5, 0)]


def test_single_string_alternates_thumb_and_index(fifthpeg, scale):
    digits = [digit for _, _, digit in notes_of(fifthpeg, scale, "--style", "single-string")]
    assert set(digits) == {"T", "I"}
    assert all(a != b for a, b in zip(digits, digits[1:]))


def test_clawhammer_strikes_down(fifthpeg, scale):
    """The nail never plays the drone string (common practice)."""
    notes = notes_of(fifthpeg, scale, "--style", "clawhammer")
    assert "nail" in {digit for _, _, digit in notes}
    assert not [note for note in notes if note[0] == 5 and note[2] == "nail"]


def test_auto_takes_the_cheapest_style(fifthpeg, scale):
    def explained(style):
        text = fifthpeg("show", scale, "--explain", "--style", style).out.decode()
        return re.search(r"The whole piece costs (\d+) in ([a-z-]+) style\.", text).groups()

    costs = {}
    for style in ["roll", "melodic", "single-string", "clawhammer"]:
        cost, taken = explained(style)
        assert taken == style
        costs[style] = int(cost)
    cost, taken = explained("auto")
    assert int(cost) == min(costs.values()) == costs[taken]


@pytest.mark.parametrize("option, low, high", [(["--neck", "low"], 1, 5), (["--neck", "high"], 7, 22),
                                               (["--position", "5-9"], 5, 9)])
def test_part_of_the_neck(fifthpeg, tmp_path, option, low, high):
    path = tmp_path / "up.mid"
    path.write_bytes(material.midi(material.voice("Lead", material.line([64, 65, 66, 64]))))
    frets = [fret for _, fret, _ in notes_of(fifthpeg, path, *option) if fret > 0]
    assert frets and low <= min(frets) and max(frets) <= high


def test_reach_and_scale_length_decide_what_can_be_held(fifthpeg, tmp_path):
    """D#3 is fret 1 of string 4 and nothing else; G#4 is fret 6 or higher: 131 mm apart at 667 mm."""
    path = tmp_path / "stretch.mid"
    path.write_bytes(material.midi(material.voice("Banjo", [(0, 4, 51), (0, 4, 68)])))
    assert fifthpeg("show", path, "--reach", "1.5", "--transpose", "0").status == 0
    refused = fifthpeg("show", path, "--reach", "0.6", "--transpose", "0")
    assert refused.status == 1
    assert "measure 1" in refused.errors[0]
    assert fifthpeg("show", path, "--reach", "0.6", "--scale-length", "300", "--transpose", "0").status == 0


def test_explanation_names_every_stroke(fifthpeg, scale):
    text = fifthpeg("show", scale, "--explain").out.decode()
    header, *rows = re.findall(r"^(?:measure  beat|\d+ +\d+(?:\.\d+| \d+/\d+)? +\d:\d+ ).*", text, re.MULTILINE)
    assert header.split("  ")[:2] == ["measure", "beat"] and "string:fret" in header
    assert len(rows) == len(SCALE_OF_G)


def test_explanation_says_what_each_kind_of_cost_is_for(fifthpeg, scale):
    text = fifthpeg("show", scale, "--explain", "--style", "clawhammer").out.decode()
    table, legend = text.split("string:fret")[1].split("What the costs are for")
    explained = re.findall(r"^  ([a-z ]+?)  +\w", legend, re.MULTILINE)
    charged = {re.sub(r" \d+$", "", cost) for line in table.splitlines()
               for cost in re.split(r", ", line.split("  ")[-1].strip()) if re.search(r"[a-z] \d+$", cost)}
    assert charged == set(explained)


@pytest.mark.parametrize("options", [["--style", "strum"], ["--neck", "up"], ["--position", "9-5"], ["--position", "5"],
                                     ["--reach", "0"], ["--reach", "wide"], ["--scale-length", "25"],
                                     ["--slurs", "all"], ["--neck", "low", "--position", "5-9"]])
def test_what_cannot_be_asked(fifthpeg, scale, options):
    result = fifthpeg("show", scale, *options)
    assert result.status == 2
    assert options[0] in result.errors[0]
    assert result.out == b""


def test_slurs_are_proposed_only_when_asked(fifthpeg, tmp_path):
    path = tmp_path / "fast.mid"
    fast = [(at / 4, 1 / 4, pitch) for at, pitch in enumerate([50, 52] * 8)]
    path.write_bytes(material.midi(material.voice("Lead", fast), tempo=375_000))

    def slurs(*options):
        out = fifthpeg("convert", path, "-o", "-", "--to", "musicxml", "--transpose", "0", *options).out
        return out.count(b"<hammer-on") + out.count(b"<pull-off")

    assert slurs() == 0
    assert slurs("--slurs", "suggest") > 0


def test_frets_only_keeps_the_digits(fifthpeg, tmp_path):
    """Four times the open second string, with digits that the search would not choose by itself."""
    note = material.xml_note
    measure = "".join(
        note("B", 3, string=2, fret=0, more=f"<technical><pluck>{digit}</pluck></technical>") for digit in "MIMT"
    )
    path = tmp_path / "digits.musicxml"
    path.write_bytes(material.xml_score(measure))
    kept = [digit for _, _, digit in notes_of(fifthpeg, path, "--refinger", "frets-only")]
    anew = [digit for _, _, digit in notes_of(fifthpeg, path, "--refinger", "all")]
    assert kept == list("MIMT") != anew


def test_advise(fifthpeg, scale):
    result = fifthpeg("advise", scale)
    assert result.status == 0
    text = result.out.decode()
    assert text.split("\n\n")[1].startswith("1  open G (gDGBD)")
    assert "\n\nThe cost is what the whole tune asks of the hands" in text


def test_advised_commands_can_be_pasted(fifthpeg, tmp_path):
    """Name of the input, of an output, what was said of the input, and nothing that is so anyway."""
    path = tmp_path / "two parts.mid"
    melody = material.line([p + 2 for p in SCALE_OF_G], 0.5)
    path.write_bytes(material.midi(material.voice("Fiddle", melody, program=41),
                                   material.voice("Guitar", material.line([50, 57], 2), program=26, channel=1), key=3))
    text = fifthpeg("advise", "two parts.mid", "--part", "fiddle", cwd=tmp_path).out.decode()
    commands = re.findall(r"^     fifthpeg (convert .*)$", text, re.MULTILINE)
    assert len(commands) >= 3
    assert commands[0] == "convert 'two parts.mid' -o 'two parts-open-g-capo-2.musicxml' --part fiddle --capo 2"
    assert not any(re.search("--tuning open-g|--capo 0|--transpose 0", command) for command in commands)
    reports = json.loads(fifthpeg("advise", path, "--part", "fiddle", "--json").out)["advice"]
    for command, one in zip(commands, reports):
        words = shlex.split(command)
        assert fifthpeg(*words, cwd=tmp_path).status == 0  # each has a name of its own
        written = json.loads(fifthpeg("describe", words[words.index("-o") + 1], "--json", cwd=tmp_path).out)
        banjo = written["banjo"]
        assert (banjo["tuning"], banjo["capo"], banjo["fifth_capo"]) == (one["tuning"], one["capo"], one["fifth_capo"])


@pytest.mark.parametrize("options", [[], ["--other-keys", "--most", "60"], ["--key", "F#"], ["--style", "clawhammer"],
                                     ["--key", "Dm", "--source-key", "Gm", "--most", "60"]], ids=" ".join)
def test_each_advised_output_has_a_name_of_its_own(fifthpeg, scale, options):
    text = fifthpeg("advise", scale, *options).out.decode()
    outputs = re.findall(r" -o (\S+) ?", text)
    assert len(outputs) > 1 and len(set(outputs)) == len(outputs)
    assert all(re.fullmatch(r"[\w.-]+\.musicxml", name) for name in outputs)


ADVISED = {
    "low.mid": material.line([28, 31, 35, 52]),  # spans 24 half steps
    "wide.mid": material.line([40, 55, 62, 74, 76]),  # spans 36
    "wider.mid": material.line([36, 55, 91]),  # spans 55
    "high.mid": material.line([96, 98, 100, 103, 127]),
    "chords.mid": [(at, 1, pitch) for at in range(4) for pitch in (50, 55, 59, 62, 67, 71)],
    "stretch.mid": [(0, 4, 51), (0, 4, 68), (4, 4, 67)],
}


def advised(fifthpeg, path, *options):
    """Ways advised; each has been converted, and whether the result has all the notes is what it said."""
    result = fifthpeg("advise", path, *options)
    if result.status == 1:
        assert result.out == b"" and len(result.errors) == 1, result.err
        assert re.search(r": the tune spans \d+ half steps, \S+ to \S+, and the banjo has at most 36, ", result.err)
        return 0
    assert result.status == 0, result.err
    commands = re.findall(r"^     fifthpeg (convert .*)$", result.out.decode(), re.MULTILINE)
    for command in commands:
        done = fifthpeg(*shlex.split(command), "--force")
        assert done.status == 0, (command, done.err)
    ways = json.loads(fifthpeg("advise", path, "--json", *options).out)["advice"]
    assert len(ways) == len(commands)
    for way in ways:
        done = fifthpeg("convert", path, "-o", "options.musicxml", "--force", *way["convert_options"].split())
        assert done.status == 0, (way, done.err)
        assert ("--thin" in way["convert_options"]) == (not way["playable"])
    return len(commands)


def test_every_way_that_is_advised_can_be_converted(fifthpeg, tmp_path):
    for name, notes in ADVISED.items():
        (tmp_path / name).write_bytes(material.midi(material.voice("Fiddle", notes, program=41)))
    most = ["--most", "20"]
    assert advised(fifthpeg, "low.mid", *most) > 0
    assert advised(fifthpeg, "wide.mid", *most) == 0
    assert advised(fifthpeg, "wide.mid", *most, "--other-keys") > 0
    assert advised(fifthpeg, "wider.mid", *most, "--other-keys") == 0
    assert advised(fifthpeg, "high.mid", *most) > 0
    assert advised(fifthpeg, "chords.mid", *most) > 0
    assert advised(fifthpeg, "stretch.mid", *most, "--reach", "1.6", "--scale-length", "600") > 0
    assert advised(fifthpeg, "stretch.mid", *most, "--reach", "0.6") > 0


@pytest.mark.parametrize("path", sorted(p for p in FIXTURES.iterdir() if p.suffix in (".mid", ".musicxml", ".mxl")),
                         ids=lambda path: path.name)
@pytest.mark.parametrize("style", ["roll", "melodic", "single-string", "clawhammer"])
def test_every_way_that_is_advised_for_the_tunes_of_the_class(fifthpeg, path, style):
    assert advised(fifthpeg, path, "--style", style) > 0


def test_advice_says_nothing_twice(fifthpeg, tmp_path):
    path = tmp_path / "high.mid"
    path.write_bytes(material.midi(material.voice("Fiddle", material.line([p + 29 for p in SCALE_OF_G])), key=0))
    ways = fifthpeg("advise", path, "--most", "20").out.decode().split("\n\n")[1:-1]
    assert any("2 octaves down" in way for way in ways) and any("C (gCGBD)" in way for way in ways)
    for way in ways:
        of_its_own = re.sub("players look at .* first, but .*", "", way)  # that compares it with another
        assert not re.search("lower|higher|tuned to", of_its_own), way
        tuning = re.search(r"\((\S+)\)", way).group(1)
        assert way.count(tuning) == 1, way


def test_advise_a_fiddle_tune_in_a(fifthpeg, tmp_path):
    """Common practice: open-G shapes with capo 2 and the fifth string at 7 (A)."""
    path = tmp_path / "in-a.mid"
    tune = [69, 71, 73, 69, 76, 73, 71, 69, 66, 69, 71, 73, 71, 69, 69, 69] * 2
    path.write_bytes(material.midi(material.voice("Fiddle", material.line(tune, 0.5), program=41), key=3))
    report = json.loads(fifthpeg("advise", path, "--json").out)
    best = report["advice"][0]
    assert (best["tuning"], best["capo"], best["fifth_capo"]) == ("gDGBD", 2, 7)
    assert best["shapes"] == "G major"


def test_advise_the_tunes_of_the_class(fifthpeg):
    """Common practice: three tunes in G, from open G without a capo."""
    for tune in ["boil-them-cabbage-down.mid", "soldiers-joy.musicxml", "irish-washerwoman.mid"]:
        best = json.loads(fifthpeg("advise", FIXTURES / tune, "--json").out)["advice"][0]
        assert (best["tuning"], best["capo"], best["fifth_capo"]) == ("gDGBD", 0, 5), tune


def test_advise_json(fifthpeg, scale, valid):
    assert len(valid(fifthpeg("advise", scale, "--json", "--most", "1").out, "advise")["advice"]) == 1
    report = valid(fifthpeg("advise", scale, "--json", "--style", "clawhammer").out, "advise")
    assert len(report["advice"]) == 2
    costs = [one["setup_cost"] for one in report["advice"] if one["playable"]]
    assert costs == sorted(costs)


def test_advise_says_what_folding_would_gain(fifthpeg, valid, tmp_path):
    """One C below a fiddle tune in D: without it, the tune lies an octave lower on the neck."""
    path = tmp_path / "one-low-note.mid"
    tune = [74, 76, 78, 79, 81, 79, 78, 76, 74, 71, 69, 67, 66, 64, 62, 62] * 4
    tune[46] = 60
    path.write_bytes(material.midi(material.voice("Fiddle", material.line(tune, 0.5), program=41), key=2))
    text = fifthpeg("advise", path).out.decode()
    row = re.search(r"\n\nEasier with --fold, which plays 1 of 64 notes in another octave:\n"
                    r"   open G \(gDGBD\); an octave down, D major; cost (\d+)\n.*?fifthpeg (convert .*? --fold)\n",
                    text, re.DOTALL)
    assert row, text
    done = fifthpeg(*shlex.split(row.group(2)), cwd=tmp_path)
    assert done.status == 0 and "C4 is played an octave higher than the rest" in done.err
    report = valid(fifthpeg("advise", path, "--json").out, "advise")
    folding = report["folding"]
    assert (folding["folded"], folding["half_steps"], folding["cost"]) == (1, -12, int(row.group(1)))
    assert folding["setup_cost"] < 0.8 * report["advice"][0]["setup_cost"]
    assert all(one["folded"] == 0 for one in report["advice"])
    done = fifthpeg("convert", path, "-o", "folded.txt", *folding["convert_options"].split(), cwd=tmp_path)
    assert done.status == 0 and "C4 is played an octave higher than the rest" in done.err


def test_advise_where_a_tune_fits_with_folding_alone(fifthpeg, valid, tmp_path):
    path = tmp_path / "wide.mid"
    tune = [74, 76, 78, 79, 81, 79, 78, 76, 74, 71, 69, 67, 66, 64, 62, 62] * 4
    tune[46] = 36
    path.write_bytes(material.midi(material.voice("Fiddle", material.line(tune, 0.5), program=41), key=2))
    text = fifthpeg("advise", path).out.decode()
    assert "\n\nOnly with --fold, which plays 1 of 64 notes in another octave:\n   open G (gDGBD)" in text
    report = valid(fifthpeg("advise", path, "--json").out, "advise")
    assert report["advice"] == [report["folding"]] and "--fold" in report["folding"]["convert_options"]


def test_advise_without_folding_where_it_gains_nothing(fifthpeg, scale):
    assert "--fold" not in fifthpeg("advise", scale).out.decode()
    assert "folding" not in json.loads(fifthpeg("advise", scale, "--json").out)


def test_advise_other_keys(fifthpeg, tmp_path):
    """A flat is no key for a banjo without them; a neighbor is."""
    path = tmp_path / "flats.mid"
    path.write_bytes(material.midi(material.voice("Fiddle", material.line([p + 1 for p in SCALE_OF_G])), key=-4))

    def keys(*options):
        return {one["key"] for one in json.loads(fifthpeg("advise", path, "--json", *options).out)["advice"]}

    assert keys() == {"Ab major"}
    assert keys("--other-keys") - {"Ab major"}
