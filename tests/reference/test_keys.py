"""The key of music that states none, against the one that a collection prints: its signature, and the tonic that is
named. The tunes of chord_tunes.abc were written down from memory, with and without their chords; those of
fiddle_tunes.py were printed in 1883."""
import re

import fiddle_tunes
import music21
import program
import pytest
import test_chords

pytestmark = pytest.mark.share

MODES = {"m": "minor", "min": "minor", "dor": "dorian", "mix": "mixolydian", "": "major", "maj": "major"}


def named(text):
    """(pitch class of the tonic, sharps) of a key as ABC or as the program names it."""
    tonic, mode = re.match(r"([A-G][#b]?) *(\w{0,3})", text).groups()
    key = music21.key.Key(tonic.replace("b", "-"), MODES[mode.lower()])
    return key.tonic.pitchClass, key.sharps


def plain():
    abc = (test_chords.HERE / "chord_tunes.abc").read_text(encoding="utf-8")
    keys = dict(zip(re.findall(r"^X: *(\d+)", abc, re.MULTILINE), re.findall(r"^K: *(.+)", abc, re.MULTILINE)))
    return [(path, keys[path.stem]) for path in test_chords.plain(0) + test_chords.plain(1)]


def printed(index):
    return [(fiddle_tunes.files(name)[index], fiddle_tunes.header(name, "K")) for name in fiddle_tunes.names()]


def without_key(data):
    """A MIDI file's key signature becomes a marker of two bytes."""
    bare = re.sub(rb"\s*<key[ >].*?</key>", b"", data, flags=re.DOTALL)
    return re.sub(rb"\xff\x59\x02..", b"\xff\x06\x02..", bare, flags=re.DOTALL)


def without_chords(data):
    return re.sub(rb"\s*<harmony[ >].*?</harmony>", b"", data, flags=re.DOTALL)


# At least so many signatures and so many tonics are right.
@pytest.mark.parametrize("tunes, take_out, signatures, tonics", [
    (plain, without_chords, 0.9, 0.91), (plain, bytes, 0.96, 0.95),
    (lambda: printed(0), bytes, 0.93, 0.9), (lambda: printed(1), bytes, 0.93, 0.9),
], ids=["plain", "plain, with chords", "printed", "printed, as MIDI"])
def test_keys_are_found_in_the_music(tmp_path, tunes, take_out, signatures, tonics):
    outcomes = []
    for path, key in tunes():
        bare = tmp_path / path.name
        bare.write_bytes(take_out(without_key(path.read_bytes())))
        music = program.describe(bare)["music"]
        assert music["key_estimated"], path
        outcomes.append((path.stem, key, music["keys"][0]["key"]))
    assert len(outcomes) >= 60
    right = [[found == wanted for found, wanted in zip(named(told), named(key))] for _, key, told in outcomes]
    tonic, signature = (sum(column) / len(right) for column in zip(*right))
    wrong = [one for one, judged in zip(outcomes, right) if not all(judged)]
    print(f"{len(right)} tunes: {signature:.1%} signatures, {tonic:.1%} tonics; {wrong}")
    assert signature >= signatures and tonic >= tonics, wrong
