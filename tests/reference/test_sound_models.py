"""The page's model of a plucked string, under Node, against the one in C++: one sound in two languages."""
import shutil
import subprocess
from pathlib import Path

import numpy
import pytest
from program import BUILD

ROOT = Path(__file__).resolve().parents[2]
RENDER = Path(__file__).with_name("render_sounding.js")
NODE = shutil.which("node")
OCTAVES = [(63 * 2**n / 2**0.5, 63 * 2**n * 2**0.5) for n in range(9)]  # about 63 Hz to 16 kHz

pytestmark = pytest.mark.skipif(NODE is None, reason="node is not installed")


def fixture(name):
    return ROOT / "fixtures" / name


CASES = {
    "slide, hammer-on and pull-off": ("lick-slide.musicxml", 44100, []),
    "choke": ("lick-choke.musicxml", 44100, []),
    "as most devices play": ("lick-slide.musicxml", 48000, []),
    "backing and click": ("lick-slide.musicxml", 44100, ["--backing"]),
    "a tune": ("soldiers-joy.musicxml", 44100, []),
}


@pytest.fixture(scope="module")
def rendered(tmp_path_factory):
    """The rate, the samples of C++, those of JavaScript, and what was asked for."""
    made = {}

    def render(case):
        if case not in made:
            name, rate, options = CASES[case]
            folder = tmp_path_factory.mktemp("sound")
            asked = subprocess.run([BUILD / "tests/rendered_sounding", fixture(name), folder / "cpp", "--rate", str(rate),
                                    *options], stdout=subprocess.PIPE, timeout=60, check=True).stdout
            (folder / "sounding.json").write_bytes(asked)
            samples = [numpy.fromfile(folder / "cpp")]
            for how in ([], ["--worklet"]):
                subprocess.run([NODE, RENDER, *how, str(rate), folder / "sounding.json", folder / "js"], timeout=120,
                               check=True)
                samples.append(numpy.fromfile(folder / "js"))
            made[case] = (rate, *samples)
        return made[case]

    return render


def octave_levels(samples, rate):
    power = numpy.abs(numpy.fft.rfft(samples))**2
    hz = numpy.fft.rfftfreq(len(samples), 1 / rate)
    return numpy.array([10 * numpy.log10(power[(hz >= low) & (hz < high)].sum() + 1e-12) for low, high in OCTAVES])


@pytest.mark.parametrize("case", CASES)
def test_octave_bands_are_within_one_decibel(rendered, case):
    rate, cpp, javascript, worklet = rendered(case)
    assert len(cpp) == len(javascript)
    levels = octave_levels(cpp, rate)
    assert levels.max() > 20, "there is sound"
    assert numpy.abs(octave_levels(javascript, rate) - levels).max() < 1
    # The worklet bends what is louder than three quarters of full scale, and this is not.
    assert numpy.abs(octave_levels(worklet[:len(cpp)], rate) - levels).max() < 1


@pytest.mark.parametrize("case", CASES)
def test_samples_are_the_same_but_for_rounding(rendered, case):
    _, cpp, javascript, worklet = rendered(case)
    assert numpy.abs(cpp).max() > 0.1
    assert numpy.abs(cpp - javascript).max() < 1e-6
    assert numpy.abs(cpp - worklet[:len(cpp)]).max() < 1e-6  # 32-bit samples


def loudest_near(samples, rate, wanted):
    """The frequency that is the loudest within a quarter tone of another."""
    size = 1 << 20
    power = numpy.abs(numpy.fft.rfft(samples * numpy.hanning(len(samples)), size))
    hz = numpy.fft.rfftfreq(size, 1 / rate)
    near = numpy.flatnonzero((hz > wanted * 2**(-1 / 24)) & (hz < wanted * 2**(1 / 24)))
    return hz[near[numpy.argmax(power[near])]]


@pytest.mark.parametrize("string, fret", [(1, 0), (1, 12), (1, 22), (2, 3), (3, 0), (4, 0), (4, 17), (5, 5), (5, 22)])
def test_both_are_in_tune(tmp_path, string, fret):
    """The fundamental of a note within 5 cents of equal temperament, in JavaScript; string_test.cpp has C++."""
    midi = (62, 59, 55, 50, 67)[string - 1] + fret - (5 if string == 5 else 0)
    wanted = 440 * 2**((midi - 69) / 12)
    note = f'{{"start":0,"end":1,"string":{string},"midi":{midi},"velocity":80,"length":{2**(-fret / 12)}}}'
    for rate in (44100, 48000):
        (tmp_path / "sounding.json").write_text(f'{{"strings":[{note}],"clicks":[],"seconds":1}}')
        subprocess.run([NODE, RENDER, str(rate), tmp_path / "sounding.json", tmp_path / "js"], timeout=60, check=True)
        samples = numpy.fromfile(tmp_path / "js")
        first = numpy.argmax(numpy.abs(samples) > 0.1 * numpy.abs(samples).max()) / rate
        assert first < 0.005
        found = loudest_near(samples[int(0.02 * rate):int(0.5 * rate)], rate, wanted)
        assert abs(1200 * numpy.log2(found / wanted)) < 5
