"""Practice tracks against another meter of ITU-R BS.1770, and against the libraries that read audio."""
import struct
import wave
from pathlib import Path

import mido
import numpy
import pyloudnorm
import pytest
import scipy.signal
from program import run

FIXTURES = Path(__file__).resolve().parents[2] / "fixtures"
RATE = 44100
TRACKS = [("lick-slide.musicxml", ["--speed", "50,100"]), ("lick-choke.musicxml", ["--click"]),
          ("lick-slide.musicxml", ["--backup", "--click"]), ("soldiers-joy.musicxml", ["--measures", "1-8"]),
          ("irish-washerwoman.mid", ["--measures", "1-4", "--speed", "50"])]


def samples_in(path):
    with wave.open(str(path)) as sound:
        assert (sound.getnchannels(), sound.getsampwidth(), sound.getframerate()) == (1, 2, RATE)
        frames = sound.readframes(sound.getnframes())
    return numpy.array(struct.unpack(f"<{len(frames) // 2}h", frames)) / 32768


@pytest.fixture(scope="module", params=range(len(TRACKS)))
def track(request, tmp_path_factory):
    name, options = TRACKS[request.param]
    path = tmp_path_factory.mktemp("track") / "track.wav"
    done = run("practice", FIXTURES / name, "-o", path, *options)
    assert done.status == 0, done.err
    return samples_in(path)


def test_loudness_is_what_another_meter_says(track):
    assert pyloudnorm.Meter(RATE).integrated_loudness(track) == pytest.approx(-16, abs=0.5)


def test_nothing_clips(track):
    assert numpy.abs(track).max() < 0.9
    assert abs(track.mean()) < 0.001
    # Between the samples too.
    assert numpy.abs(scipy.signal.resample_poly(track, 4, 1)).max() < 1


def test_strokes_are_heard_when_midi_has_them(tmp_path):
    """Within 5 ms, by what is above 6 kHz, which only attacks have."""
    tune = FIXTURES / "soldiers-joy.musicxml"
    options = ["--measures", "1-8", "--speed", "80", "--count-in", "0"]
    for name in ("a.mid", "a.wav"):
        assert run("practice", tune, "-o", tmp_path / name, *options).status == 0
    samples = samples_in(tmp_path / "a.wav")
    midi = mido.MidiFile(tmp_path / "a.mid")
    assert midi.length == pytest.approx(len(samples) / RATE - 2, abs=0.01)
    before = RATE // 10
    bright = scipy.signal.sosfilt(scipy.signal.butter(4, 6000, "highpass", fs=RATE, output="sos"),
                                  numpy.concatenate([numpy.zeros(before), samples]))
    now, onsets = 0, set()
    for message in midi:
        now += message.time
        if message.type == "note_on" and message.velocity:
            onsets.add(before + round(now * RATE))
    assert len(onsets) > 40
    five_ms = RATE // 200
    for onset in sorted(onsets):
        attack = numpy.abs(bright[onset:onset + five_ms]).max()
        assert attack > 10 * numpy.abs(bright[onset - 2 * five_ms:onset - 10]).max()
        assert attack > 0.8 * numpy.abs(bright[onset:onset + 4 * five_ms]).max()
