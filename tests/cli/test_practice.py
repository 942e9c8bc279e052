"""Practice tracks: what is written, and that MIDI and audio hold what was asked for."""
import wave

import mido
import pytest
from conftest import ROOT, writing
from material import xml_note, xml_score

FIXTURES = ROOT / "fixtures"
SLIDE, CHOKE, JIG = FIXTURES / "lick-slide.musicxml", FIXTURES / "lick-choke.musicxml", FIXTURES / "irish-washerwoman.mid"
TUNE = FIXTURES / "boil-them-cabbage-down.mid"


@pytest.fixture
def practice(fifthpeg, tmp_path):
    return writing(fifthpeg, tmp_path, "practice", "out.mid")


def timed(path):
    """Every message with the second at which it comes."""
    now, messages = 0, []
    for message in mido.MidiFile(path):
        now += message.time
        messages.append((now, message))
    return messages


def markers(path):
    return [(round(at, 3), message.text) for at, message in timed(path) if message.type == "marker"]


def struck(path, channels=range(9)):
    return [(round(at, 3), message.note) for at, message in timed(path)
            if message.type == "note_on" and message.velocity and message.channel in channels]


def tracks(path):
    return [track.name for track in mido.MidiFile(path).tracks]


def test_markers_name_speed_and_time(practice):
    path, said = practice(SLIDE, "--speed", "50,65,80,100", "--times", "2")
    assert said == ""
    named = [text for _, text in markers(path) if "%" in text]
    assert named == [f"{speed} %, {time} of 2" for speed in (50, 65, 80, 100) for time in (1, 2)]
    path, _ = practice(SLIDE, "--speed", "80", out="once.mid")
    assert [text for _, text in markers(path) if "%" in text] == ["80 %"]


def test_each_speed_plays_the_same_slower(practice):
    plain, _ = practice(SLIDE, "--count-in", "0", out="plain.mid")
    slow, _ = practice(SLIDE, "--speed", "50,100", "--count-in", "0", out="slow.mid")
    notes = struck(plain)
    assert len(notes) > 30
    first, second = struck(slow)[:len(notes)], struck(slow)[len(notes):]
    start, = (at for at, text in markers(slow) if text == "100 %")
    assert [note for _, note in first] == [note for _, note in second] == [note for _, note in notes]
    for (at, _), (slow_at, _), (later, _) in zip(notes, first, second):
        assert slow_at == pytest.approx(2 * at, abs=0.065)  # grace notes are no slower than 60 ms
        assert later - start == pytest.approx(at, abs=0.01)


def test_the_count_in_clicks_and_the_click_goes_on(practice):
    path, _ = practice(SLIDE, out="counted.mid")
    assert tracks(path)[-1] == "Click"
    clicks = [at for at, _ in struck(path, [9])]
    beat = 60 / 90
    # A measure, and what the pickup lacks of its own.
    assert clicks == pytest.approx([beat * i for i in range(7)], abs=0.002)
    assert struck(path)[0][0] == pytest.approx(7 * beat, abs=0.002)
    path, _ = practice(SLIDE, "--click", "--count-in", "0", out="clicked.mid")
    assert [at for at, _ in struck(path, [9])] == pytest.approx([beat * i for i in range(16)], abs=0.01)
    path, _ = practice(SLIDE, "--count-in", "0", out="silent.mid")
    assert "Click" not in tracks(path)


def test_a_count_in_follows_the_meter(practice):
    path, _ = practice(JIG, "--measures", "1-2", "--count-in", "2")
    clicks = [at for at, _ in struck(path, [9])]
    assert len(clicks) == 4  # two beats in 6/8
    beat = clicks[1]
    assert clicks == pytest.approx([0, beat, 2 * beat, 3 * beat], abs=0.01)


def test_measures_are_those_printed(practice, fifthpeg):
    path, _ = practice(SLIDE, "--measures", "3-4", "--count-in", "0")
    whole, _ = practice(SLIDE, "--count-in", "0", out="whole.mid")
    chosen = [note for _, note in struck(path)]
    assert 0 < len(chosen) < 32 and [note for _, note in struck(whole)][-len(chosen):] == chosen
    one, _ = practice(SLIDE, "--measures", "3", "--count-in", "0", out="one.mid")
    assert [note for _, note in struck(one)] == chosen[:len(struck(one))]
    for wrong, text in (("3-9", "there is no measure 9"), ("4-3", "measure 3 comes before measure 4"), ("x", "measure x")):
        result = fifthpeg("practice", SLIDE, "-o", "no.mid", "--measures", wrong)
        assert result.status == 2 and text in result.err


def test_backup_has_tracks_of_its_own(practice):
    path, _ = practice(SLIDE, "--backup")
    assert tracks(path)[1:] == ["Banjo", "Bass", "Chords", "Click"]
    programs = {message.channel: message.program for _, message in timed(path) if message.type == "program_change"}
    assert set(programs.values()) == {105, 32, 25}
    bass, = (channel for channel, program in programs.items() if program == 32)
    assert {note % 12 for _, note in struck(path, [bass])} <= {7, 2, 0, 9, 6}  # of G, C and D7


def test_backup_needs_chord_symbols(practice, fifthpeg):
    result = fifthpeg("practice", FIXTURES / "soldiers-joy.mid", "-o", "no.mid", "--backup")
    assert result.status == 1 and "no chord symbols" in result.err and "--chords infer" in result.err
    practice(FIXTURES / "soldiers-joy.mid", "--backup", "--chords", "infer")


def test_swing(practice):
    straight, _ = practice(SLIDE, "--count-in", "0", out="straight.mid")
    swung, _ = practice(SLIDE, "--count-in", "0", "--swing", out="swung.mid")
    eighth = 60 / 90 / 2
    moved = [later - at for (at, _), (later, _) in zip(struck(straight), struck(swung))]
    assert max(moved) == pytest.approx(eighth / 3, abs=0.005)


def test_repeats_are_played_out(practice, fifthpeg):
    path, _ = practice(FIXTURES / "soldiers-joy.musicxml", "--count-in", "0")
    fifthpeg("convert", FIXTURES / "soldiers-joy.musicxml", "-o", "all.mid")
    assert [note for _, note in struck(path)] == [note for _, note in struck(path.parent / "all.mid")]


def test_slides_and_chokes_bend_in_midi(practice):
    for lick in (SLIDE, CHOKE):
        path, said = practice(lick, out=lick.stem + ".mid")
        assert "slide" not in said and "choke" not in said
        assert any(message.type == "pitchwheel" and message.pitch for _, message in timed(path))


def test_a_default_tempo_is_told(practice, tmp_path):
    (tmp_path / "plain.musicxml").write_bytes(xml_score(xml_note("G", 4) * 4))
    path, said = practice(tmp_path / "plain.musicxml")
    assert "100 % is 120 quarter notes a minute; --tempo says otherwise" in said
    path, said = practice(tmp_path / "plain.musicxml", "--tempo", "60", out="slow.mid")
    assert "100 %" not in said
    assert struck(path)[1][0] - struck(path)[0][0] == pytest.approx(1, abs=0.01)


@pytest.mark.parametrize("name, first", [("slow.wav", b"RIFF"), ("slow.flac", b"fLaC"), ("slow.WAV", b"RIFF"), ("a.midi", b"MThd")])
def test_the_name_says_the_format(practice, name, first):
    path, _ = practice(SLIDE, out=name)
    assert path.read_bytes()[:4] == first


def test_audio_goes_to_standard_output(fifthpeg):
    result = fifthpeg("practice", SLIDE, "-o", "-", "--measures", "1")
    assert result.status == 0 and result.out[:4] == b"RIFF"


def test_the_same_file_gives_the_same_bytes(practice):
    for name in ("a.mid", "a.wav", "a.flac"):
        first, _ = practice(SLIDE, "--measures", "1-2", out=name)
        second, _ = practice(SLIDE, "--measures", "1-2", out="again-" + name)
        assert first.read_bytes() == second.read_bytes()


def test_audio_is_as_long_as_asked(practice):
    path, _ = practice(SLIDE, "--speed", "50,100", "--times", "2", out="a.wav")
    with wave.open(str(path)) as sound:
        seconds = sound.getnframes() / sound.getframerate()
    # Counted in 4 + 3, then the pickup and 15 beats, and the second time the pickup follows straight on.
    beats = 4 + 3 + 16 + 16
    assert seconds == pytest.approx((2 * beats + beats) * 60 / 90 + 2, abs=0.01)


def test_outputs_are_guarded(practice, fifthpeg, tmp_path):
    practice(SLIDE, out="a.wav")
    again = fifthpeg("practice", SLIDE, "-o", "a.wav")
    assert again.status == 4 and "--force" in again.err
    assert fifthpeg("practice", SLIDE, "-o", "a.wav", "--force").status == 0
    (tmp_path / "own.mid").write_bytes(TUNE.read_bytes())
    assert fifthpeg("practice", "own.mid", "-o", "own.mid", "--force").status == 2
    assert (tmp_path / "own.mid").read_bytes() == TUNE.read_bytes()
    assert fifthpeg("practice", SLIDE, "-o", "no/such/folder/a.wav").status == 4


@pytest.mark.parametrize("options, named", [
    (["-o", "x.mp3"], ".mid, .wav or .flac"), ([], "-o OUT"), (["-o", "x.mid", "--speed", "5"], "--speed"),
    (["-o", "x.mid", "--speed", "50,fast"], "'fast'"), (["-o", "x.mid", "--speed", ""], "50,65,80,100"),
    (["-o", "x.mid", "--times", "0"], "--times"), (["-o", "x.mid", "--count-in", "99"], "--count-in"),
    (["-o", "x.mid", "--measures", "3-"], "such as 3-4"), (["-o", "x.mid", "--tempo", "1"], "--tempo"),
    (["-o", "x.wav", "--tempo", "10", "--speed", "10", "--times", "1000"], "longer than 3 hours")])
def test_wrong_values_are_named(fifthpeg, options, named):
    result = fifthpeg("practice", SLIDE, *options)
    assert result.status in (2, 4) and named in result.err
