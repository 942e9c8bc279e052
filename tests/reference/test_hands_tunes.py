"""What the hands do with sixty fiddle tunes from 1883, or all of them: nothing that cannot be played, in any style; and
advice that a player would give. What can be played is judged here anew, from the written file alone."""
import itertools
import json
from collections import defaultdict
from fractions import Fraction

import fiddle_tunes
import program
import pytest
import schema

STYLES = ["roll", "melodic", "single-string", "clawhammer"]
TUNES = fiddle_tunes.names()

# Equal temperament on 26 1/4 in: fret n lies at L (1 - 2^(-n/12)) from the nut.
SCALE_LENGTH = 667.0
# How far two fingers part at most, in mm: neighbors, and the whole hand. From memory.
NEIGHBORS = {1: 70.0, 2: 50.0, 3: 60.0}
WHOLE_HAND = 150.0


def span(low, high):
    return SCALE_LENGTH * (2 ** (-low / 12) - 2 ** (-high / 12))


def furthest(low_finger, high_finger):
    return min(WHOLE_HAND, sum(NEIGHBORS[finger] for finger in range(low_finger, high_finger)))


class Note:
    def __init__(self, item):
        technical = item.find("notations/technical")
        self.string = int(technical.findtext("string"))
        self.fret = int(technical.findtext("fret"))
        self.finger = technical.findtext("fingering") or ("0" if self.fret == 0 else None)  # fret 0 says it
        self.digit = technical.findtext("pluck") or ("N" if technical.find("fingernails") is not None else None)
        self.brushed = item.find("notations/arpeggiate") is not None
        self.held = any(tie.get("type") == "stop" for tie in item.iter("tie"))


def strokes(data):
    """[(seconds at 120 quarters a minute, or None of a grace note, [Note, ...])] of the tab staff."""
    result, now, divisions = [], Fraction(0), 1
    for measure in schema.parse(data).iter("measure"):
        for item in measure:
            if item.tag == "attributes" and item.findtext("divisions"):
                divisions = int(item.findtext("divisions"))
            elif item.tag in ("backup", "forward"):
                now += Fraction(item.findtext("duration")) / divisions * (1 if item.tag == "forward" else -1)
            elif item.tag == "note":
                grace, chord = item.find("grace") is not None, item.find("chord") is not None
                if item.find("rest") is None:
                    if not chord:
                        result.append((None if grace else float(now / 2), []))
                    result[-1][1].append(note := Note(item))
                    if note.held and note.finger is None:  # printed where the note begins
                        note.finger, = (other.finger for other in result[-2][1]
                                        if (other.string, other.fret) == (note.string, note.fret))
                if not grace and not chord:
                    now += Fraction(item.findtext("duration")) / divisions
    return result


def cannot_be_held(notes):
    if len({note.string for note in notes}) < len(notes):
        return "two notes on a string"
    if any((note.fret == 0) != (note.finger == "0") for note in notes):
        return "an open string with a finger, or a stopped one without"
    places = defaultdict(set)
    for note in notes:
        if note.finger in "1234":
            places[int(note.finger)].add(note.fret)
    if any(len(frets) > 1 for frets in places.values()):
        return "a finger in two places"
    fingers = sorted((finger, *frets) for finger, frets in places.items())
    for low_finger, low in fingers:
        for high_finger, high in fingers:
            if low_finger < high_finger and low > high:
                return "fingers out of order"
            if low_finger < high_finger and span(low, high) > furthest(low_finger, high_finger):
                return f"{span(low, high):.0f} mm between fingers {low_finger} and {high_finger}"
    for finger in places:
        barred = [note.string for note in notes if note.finger == str(finger)]
        if any(note.fret == 0 and min(barred) < note.string < max(barred) for note in notes):
            return "an open string under a bar"
    return None


def cannot_be_picked(notes):
    picked = [note for note in notes if note.digit]
    digits = [note.digit for note in sorted(picked, key=lambda note: -note.string)]
    if any(note.brushed for note in notes) or "N" in digits:
        return None  # one digit on several strings
    if len(digits) > 3:
        return "four strings at once without a brush"
    if digits != [digit for digit in "TIM" if digit in digits]:
        return f"digits {digits} from the fifth string to the first"
    return None


def cannot_follow(before, after):
    """The same digit faster than ten times a second (from memory)."""
    (earlier, first), (later, second) = before, after
    if earlier is None or later is None or later - earlier >= 0.10:
        return None
    same = {note.digit for note in first if note.digit} & {note.digit for note in second if note.digit}
    return f"{same} twice in {later - earlier:.3f} s" if same else None


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("name", TUNES)
def test_every_stroke_can_be_played(name, style, tmp_path):
    source, _ = fiddle_tunes.files(name)
    outcome = program.run("convert", source, "-o", target := tmp_path / "out.musicxml", "--staves", "tab",
                          "--style", style)
    if outcome.status != 0:
        assert fiddle_tunes.ALL, outcome.err  # more range than a banjo, or a chord that no hand can hold
        return
    played = strokes(target.read_bytes())
    assert len(played) >= 45
    wrong = [(number, fault) for number, (_, notes) in enumerate(played)
             if (fault := cannot_be_held(notes) or cannot_be_picked(notes))]
    wrong += [(number, fault) for number, pair in enumerate(zip(played, played[1:])) if (fault := cannot_follow(*pair))]
    assert wrong == []


# ---- advice: common practice, from memory ----

@pytest.fixture(scope="module")
def advice():
    """{style: {key as the tune names it: [(name, the best setting), ...]}}"""
    found = defaultdict(lambda: defaultdict(list))
    for name, style in itertools.product(TUNES, ("roll", "clawhammer")):
        outcome = program.run("advise", fiddle_tunes.files(name)[0], "--json", "--most", "1", "--quiet",
                              "--style", style)
        if outcome.status != 0:
            assert fiddle_tunes.ALL and "half steps" in outcome.err, outcome.err  # more range than a banjo
            continue
        best, = json.loads(outcome.out)["advice"]
        found[style][best["key"]].append((name, best))
    return found


@pytest.mark.share
@pytest.mark.parametrize("name", TUNES)
def test_advice_agrees_with_the_default(name, tmp_path):
    """Set up as advised and with nothing else said, a tune is played in the octave that was advised."""
    source, _ = fiddle_tunes.files(name)
    style = STYLES[TUNES.index(name) % len(STYLES)]
    advised = program.run("advise", source, "--json", "--style", style)
    if advised.status != 0:
        assert fiddle_tunes.ALL and "half steps" in advised.err, advised.err
        return
    for one in json.loads(advised.out)["advice"]:
        outcome = program.run("convert", source, "-o", tmp_path / "out.mid", "--force", "--style", style, "--thin",
                              "--tuning", one["tuning"], "--capo", one["capo"], "--fifth-capo", one["fifth_capo"],
                              *(["--fold"] if one["folded"] else []))
        assert outcome.status == 0 and 12 * outcome.octaves == one["half_steps"], (one, outcome.err)


def set_up(best):
    return best["tuning"], best["capo"], best["fifth_capo"]


def elsewhere(tunes, settings):
    """The tunes that are set up otherwise."""
    return {name: set_up(best) for name, best in tunes if set_up(best) not in settings}


def land_on(tunes, settings, least, share):
    """All of the sample land on these settings, and this share of the whole collection: in that, a few have a range or
    go through keys for which a player would look elsewhere, too."""
    assert len(tunes) >= least
    others = elsewhere(tunes, settings)
    if fiddle_tunes.ALL:
        assert len(others) <= (1 - share) * len(tunes), others
    else:
        assert others == {}


@pytest.mark.share
def test_tunes_in_a_land_on_open_g_with_capo_two(advice):
    for style in ("roll", "clawhammer"):
        tunes = advice[style]["A major"]
        land_on(tunes, {("gDGBD", 2, 7)}, least=5, share=0.9)
        assert all(best["shapes"] == "G major" for _, best in tunes if set_up(best) == ("gDGBD", 2, 7))


@pytest.mark.share
def test_tunes_in_d_land_on_double_c_with_capo_two_in_clawhammer(advice):
    land_on(advice["clawhammer"]["D major"], {("gCGCD", 2, 7)}, least=10, share=0.95)


@pytest.mark.share
def test_tunes_in_d_are_rolled_from_open_g(advice):
    """With the fifth string as it is, or played as C with the capo at 2. Where it retunes three strings, D tuning comes
    first only for what costs half as much there."""
    land_on(advice["roll"]["D major"], {("gDGBD", 0, 5), ("gDGBD", 2, 7)}, least=10, share=0.95)


@pytest.mark.share
def test_tunes_in_c_land_on_a_c_tuning_or_open_g(advice):
    land_on(advice["roll"]["C major"], {("gCGBD", 0, 5), ("gDGBD", 0, 5)}, least=3, share=0.9)
    land_on(advice["clawhammer"]["C major"], {("gCGCD", 0, 5)}, least=3, share=0.9)


@pytest.mark.share
def test_tunes_in_g_land_on_open_g(advice):
    for style in ("roll", "clawhammer"):
        land_on(advice[style]["G major"], {("gDGBD", 0, 5)}, least=10, share=0.95)


@pytest.mark.share
def test_tunes_in_b_flat_land_on_open_g_with_capo_three(advice):
    for style in ("roll", "clawhammer"):
        land_on(advice[style]["Bb major"], {("gDGBD", 3, 8)}, least=5, share=0.9)


@pytest.mark.share
def test_tunes_in_e_minor_land_on_open_g(advice):
    for style in ("roll", "clawhammer"):
        land_on(advice[style]["E minor"] + advice[style]["E dorian"], {("gDGBD", 0, 5)}, least=2, share=0.75)


@pytest.mark.share
def test_tunes_in_a_minor_and_a_dorian_land_on_modal_g_with_capo_two(advice):
    """Or, where a note lies below E, on double C with capo 2: with the drone at A."""
    for style in ("roll", "clawhammer"):
        tunes = advice[style]["A minor"] + advice[style]["A dorian"]
        land_on(tunes, {("gDGCD", 2, 7), ("gCGCD", 2, 7)}, least=4, share=0.8)
        assert [set_up(best) for _, best in tunes].count(("gDGCD", 2, 7)) > len(tunes) / 2


@pytest.mark.share
def test_tunes_in_g_minor_land_on_modal_g(advice):
    for style in ("roll", "clawhammer"):
        land_on(advice[style]["G minor"], {("gDGCD", 0, 5)}, least=1, share=0.75)
