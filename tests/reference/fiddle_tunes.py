"""Ryan's Mammoth Collection of Fiddle Tunes (Boston 1883), as music21's corpus carries it in ABC.

music21 turns each tune into MIDI and MusicXML, once.
"""
import functools
import os
import re
from pathlib import Path

import made_once
import music21

ALL = os.environ.get("FIFTHPEG_ALL") == "1"
EVERY = 17  # the fixed rule: every 17th tune by file name, sixty of them
SAMPLE = 60
# Tunes that music21 10.5.1 reads but cannot write.
UNWRITABLE = {"CarmichaelsStrathspey", "KittyONeilsChampionJig", "LookBeforeYouStrathspey", "RoysWifeStrathspey",
              "StrathearnStrathspey", "WinnicksFavoriteJig"}


def folder():
    return Path(music21.__file__).parent / "corpus" / "ryansMammoth"


def names():
    everything = sorted(path.stem for path in folder().glob("*.abc"))
    return [name for name in everything if name not in UNWRITABLE] if ALL else everything[::EVERY][:SAMPLE]


@functools.cache
def all_files():
    """(MusicXML, MIDI) of every tune. Of two workers that make them at the same time, one begins at the end."""
    order = names() if os.environ.get("PYTEST_XDIST_WORKER", "gw0")[-1] in "02468" else names()[::-1]
    made = {name: files(name) for name in order}
    return [made[name] for name in names()]


def abc(name):
    return (folder() / f"{name}.abc").read_text(encoding="utf-8", errors="replace")


def header(name, letter):
    found = re.search(rf"^{letter}:\s*(.*?)\s*(?:%.*)?$", abc(name), re.MULTILINE)
    return found.group(1) if found else ""


def _straight(score):
    """Without its repeat signs: for tunes whose signs music21 cannot carry out."""
    for part in score.parts:
        for measure in part.getElementsByClass(music21.stream.Measure):
            for side in ("leftBarline", "rightBarline"):
                if isinstance(getattr(measure, side), music21.bar.Repeat):
                    setattr(measure, side, None)
            for mark in list(measure.getElementsByClass(music21.repeat.RepeatMark)):
                measure.remove(mark)
    return score


def _without_graces(score):
    """music21 writes a grace note to MIDI with its end in front of its beginning; it stays in MusicXML."""
    for note in list(score.recurse().notes):
        if note.duration.isGrace:
            note.activeSite.remove(note)
    return score


@functools.cache
def files(name):
    """(MusicXML, MIDI) of a tune, as music21 writes them; the MIDI without grace notes."""
    kept = made_once.folder("fiddle-tunes", __file__)
    paths = kept / f"{name}.musicxml", kept / f"{name}.mid"
    made_once.make(paths, functools.partial(_write, name))
    return paths


def _write(name, xml, midi):
    score = music21.converter.parse(folder() / f"{name}.abc", forceSource=True)
    if isinstance(score, music21.stream.Opus):
        score = score.scores[0]
    score.write("musicxml", fp=xml)
    score = _without_graces(score)
    try:
        score.write("midi", fp=midi)
    except music21.repeat.ExpanderException:
        _straight(score).write("midi", fp=midi)
