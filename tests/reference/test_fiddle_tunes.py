"""Fiddle tunes from 1883, read and written by music21, go through the program: the melody has to arrive note
for note, and every note on a string and fret that give its pitch."""
import re
from collections import Counter

import fiddle_tunes
import program
import pytest
import refusals
import schema
import seen
import tab

TUNES = fiddle_tunes.names()


@pytest.fixture(scope="module", params=TUNES)
def tune(request):
    return request.param, *fiddle_tunes.files(request.param)


def put_on_banjo(source, target, *options):
    """Converts. In the collection as a whole a few tunes have more range than a banjo, or a chord that no hand
    can hold; those are refused, and None is returned once that is found to be true."""
    outcome = program.run("convert", "--force", source, "-o", target, *options)
    if outcome.status == 0:
        return outcome
    said = refusals.line(outcome)
    assert fiddle_tunes.ALL, said
    part, = (part for part in program.describe(source)["file"]["parts"] if part["notes"])
    assert not refusals.reason(said, part).startswith("NOT TRUE"), said
    return None


def moved(notes, octaves):
    return sorted(seen.Note(note.onset, note.midi + 12 * octaves, note.length) for note in notes)


def brushes(notes, outcome):
    """{onset: number of notes} of the strokes that take more than the three picking fingers. The program says
    that it brushes them, and how many there are."""
    found = {onset: count for onset, count in Counter(note.onset for note in notes).items() if count > 3}
    assert outcome.times("a stroke of more than three notes is played as a brush") == len(found)
    return found


def struck_together(notes, strokes):
    """The notes of a MIDI file with its brushes as they are written: a brush goes from the low strings to the
    high ones in even steps, within a quarter of its length."""
    left = list(notes)
    for onset, count in strokes.items():
        first = next(index for index, note in enumerate(left) if note.onset == onset)
        brush = left[first:first + count]
        length = brush[-1].onset + brush[-1].length - onset
        steps = {after.onset - before.onset for before, after in zip(brush, brush[1:])}
        assert len(steps) == 1 and 0 < min(steps) <= length / 4 / (count - 1)
        assert [note.midi for note in brush] == sorted(note.midi for note in brush)
        left[first:first + count] = [seen.Note(onset, note.midi, note.onset + note.length - onset) for note in brush]
    return sorted(left)


def as_read(before, outcome):
    """The notes of a MIDI file, those that it never ends among them, and which of them sound beyond the next
    stroke. A tab has no length for these: they are written up to the next stroke, and ring on. All of it is told."""
    assert outcome.times("a note without a note-off lasts to the end of its track") == len(before.hanging)
    assert outcome.times("a note-off without a note was ignored") == before.strays
    onsets = sorted({note.onset for note in before.notes + before.hanging})
    following = dict(zip(onsets, onsets[1:]))
    notes, ringing = [], []
    for onset, midi, length in sorted(before.notes + before.hanging):
        if onset in following and onset + length > following[onset]:
            length = following[onset] - onset
            ringing.append(seen.Note(onset, midi, length))
        notes.append(seen.Note(onset, midi, length))
    assert outcome.times("a note that sounds beyond the next stroke rings on there") == len(ringing)
    return notes, moved(ringing, outcome.octaves)


def sound(target):
    """A valid file that can be played as it is written. Returns what is in it."""
    data = target.read_bytes()
    assert schema.errors(data) == []
    result = tab.Tab(data)
    assert result.flaws == []
    assert result.typeless == []
    assert result.played
    return result


def test_sample_covers_what_fiddlers_play():
    kinds = {fiddle_tunes.header(name, "R").lower() for name in TUNES}
    assert {"reel", "jig", "hornpipe", "strathspey"} <= kinds
    assert len({fiddle_tunes.header(name, "K") for name in TUNES}) >= 8
    assert len({fiddle_tunes.header(name, "M") for name in TUNES}) >= 5
    texts = [fiddle_tunes.abc(name) for name in TUNES]
    assert sum("(3" in text for text in texts) >= 5  # tuplets
    assert sum("|:" in text or ":|" in text for text in texts) >= 20  # repeats
    first = [tab.lengths_of(fiddle_tunes.files(name)[0].read_bytes())[:2] for name in TUNES]
    assert sum(lengths[0] < lengths[1] for lengths in first) >= 10  # pickups


def test_musicxml_to_musicxml(tune, tmp_path):
    name, source, _ = tune
    if (outcome := put_on_banjo(source, target := tmp_path / "out.musicxml")) is None:
        return
    written = sound(target)
    before, after = seen.musicxml_by_music21(source), seen.musicxml_by_music21(target)
    assert moved(before.notes, outcome.octaves) == after.notes
    assert [(onset, midi + 12 * outcome.octaves) for onset, midi in before.graces] == after.graces
    assert before.keys == after.keys
    assert before.meters == after.meters
    data = source.read_bytes()
    assert tab.lengths_of(data) == written.lengths  # pickups and split measures among them
    assert tab.repeats_of(data) == written.repeats


def test_musicxml_to_midi(tune, tmp_path):
    name, source, _ = tune
    if (outcome := put_on_banjo(source, target := tmp_path / "out.mid", "--no-repeats")) is None:
        return
    before, after = seen.musicxml_by_music21(source), seen.midi_by_mido(target)
    main, graces = without_graces(after.notes, before.graces, outcome.octaves)
    main = struck_together(main, brushes(before.notes, outcome))
    assert len(main) == len(before.notes)
    for wanted, found in zip(moved(before.notes, outcome.octaves), main):
        if wanted.onset == 0 and any(onset == 0 for onset, _ in before.graces):
            assert found.onset <= 0.5 and found.midi == wanted.midi  # nothing to take time from
            continue
        assert wanted[:2] == found[:2]
        if (wanted.onset, wanted.midi - 12 * outcome.octaves) in before.short:
            assert 0 < found.length <= wanted.length
        elif not graces:  # in MIDI they take their time from a neighbor
            assert wanted == found
    assert seen.same_measures(before.meters, tab.lengths_of(source.read_bytes()), after) is None
    assert before.keys == after.keys


def without_graces(notes, graces, octaves):
    """The notes of a MIDI file and those of them that are grace notes: short ones just before their time, or
    at the very beginning."""
    left, found = list(notes), []
    for onset, midi in graces:
        near = [note for note in left if note.midi == midi + 12 * octaves and note.length <= 0.25
                and (onset - 0.5 <= note.onset < onset or onset == 0 <= note.onset < 0.5)]
        assert near, f"no grace note {midi} at {onset}"
        left.remove(near[-1])
        found.append(near[-1])
    return left, found


def test_midi_to_musicxml(tune, tmp_path):
    name, _, source = tune
    if (outcome := put_on_banjo(source, target := tmp_path / "out.musicxml")) is None:
        return
    written = sound(target)
    before, after = seen.midi_by_mido(source), seen.musicxml_by_music21(target)
    notes, ringing = as_read(before, outcome)
    brushes(notes, outcome)
    assert moved(notes, outcome.octaves) == after.notes
    assert sorted(written.ringing) == sorted((note.onset + note.length, note.midi) for note in ringing)
    assert before.keys == after.keys
    assert before.meters == after.meters
    begins = seen.starts(written.lengths)
    assert begins == seen.barlines(before.stated, begins[-1] + written.lengths[-1])


def test_midi_to_midi(tune, tmp_path):
    name, _, source = tune
    if (outcome := put_on_banjo(source, target := tmp_path / "out.mid")) is None:
        return
    before, after = seen.midi_by_mido(source), seen.midi_by_mido(target)
    assert after.hanging == [] and after.strays == 0
    notes, ringing = as_read(before, outcome)
    begins = seen.barlines(before.stated, before.notes[-1].onset + before.notes[-1].length)
    played = struck_together(after.notes, brushes(notes, outcome))
    assert len(played) == len(notes)
    for wanted, found in zip(moved(notes, outcome.octaves), played):
        if wanted in ringing:  # at most to the end of the measure after its own
            assert wanted[:2] == found[:2]
            later = [begin for begin in begins if begin > wanted.onset]
            assert wanted.length <= found.length and (len(later) < 2 or found.onset + found.length <= later[1])
        else:
            assert wanted == found
    assert before.keys == after.keys
    assert before.tempos == after.tempos
    lengths = [end - begin for begin, end in zip(begins, begins[1:])]  # the last one may be short
    assert seen.same_measures(before.meters, lengths, after) is None


def test_folded_repeats_play_the_same(tune, tmp_path):
    """music21 writes repeats out. Folded, they are played again as they were, from fewer measures where any are."""
    name, xml, source = tune
    folded = put_on_banjo(source, tmp_path / "folded.mid", "--repeats", "fold")
    straight = put_on_banjo(source, tmp_path / "straight.mid")
    if folded is None or straight is None:
        return
    after, before = (seen.midi_by_mido(tmp_path / f"{kind}.mid").notes for kind in ("folded", "straight"))
    octaves = folded.octaves - straight.octaves
    assert [(note.onset, note.midi) for note in moved(before, octaves)] == [(note.onset, note.midi) for note in after]
    said = re.search(r"(\d+) measures that repeat others are written with", folded.err)
    assert not said or int(said.group(1)) >= 3
    # Nearly all signs stand around parts that are long enough.
    expanded = len(before) > len(seen.musicxml_by_music21(xml).notes)
    assert said or not expanded, tab.repeats_of(xml.read_bytes())
