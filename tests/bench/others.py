"""Measures what others do with the same MIDI files, as JSON on standard output. In the environment of
requirements.txt:  others.py FOLDER-OF-PIECES REPETITIONS

music21 converts MIDI to MusicXML without its cache of parsed files, and without putting anything on a string:
inside this process, imported and warm, and as a process of its own with its import. Against both stands a
whole fifthpeg process, with its start, the fingering and the writing of the file. They take turns. Of the batch,
which one fifthpeg process converts in bench_process, music21 converts the first files inside this process, one
after another. symusic loads from memory. verovio engraves the lick and the tune that bench_sheet has written, from
memory to SVG.
"""
import json
import os
import sys
import time
from pathlib import Path

import music21
import symusic
import verovio

MUSIC21_PIECES = {"64": "lick.mid", "1000": "piece-1000.mid"}  # by their number of notes
MUSIC21_PROGRAM = """
import sys
import music21
music21.converter.parse(sys.argv[1], forceSource=True).write("musicxml", sys.argv[2])
"""
BATCH = 30  # files of the batch: enough for a mean
SYMUSIC_PIECE = "piece-10000.mid"


def processor_time(work):
    before = time.process_time()
    work()
    return time.process_time() - before


def process(words):
    null = [(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0),
            (os.POSIX_SPAWN_OPEN, 2, os.devnull, os.O_WRONLY, 0)]
    child = os.posix_spawn(words[0], words, os.environ, file_actions=null)
    _, status, used = os.wait4(child, 0)
    if status != 0:
        sys.exit(f"{words} ended with status {status}")
    return used.ru_utime + used.ru_stime


def main():
    pieces, repetitions = Path(sys.argv[1]), int(sys.argv[2])
    result = {"versions": {"music21": music21.__version__, "symusic": symusic.__version__,
                           "verovio": verovio.toolkit().getVersion().split("-")[0]}, "music21": {}}
    for name, file in MUSIC21_PIECES.items():
        source, out = pieces / file, pieces / "out" / "other.musicxml"

        def with_music21():
            music21.converter.parse(source, forceSource=True).write("musicxml", out)

        with_music21()  # what is set up once is not counted
        warm, theirs, ours = [], [], []
        for _ in range(repetitions):
            warm.append(processor_time(with_music21))
            theirs.append(process([sys.executable, "-c", MUSIC21_PROGRAM, str(source), str(out)]))
            ours.append(process([os.environ["FIFTHPEG"], "convert", "--force", str(source), "-o", str(out)]))
        result["music21"][name] = {"warm": warm, "process": theirs, "ours": ours}

    batch = sorted((pieces / "batch").glob("*.mid"))[:BATCH]

    def convert_batch():
        for source in batch:
            music21.converter.parse(source, forceSource=True).write("musicxml", pieces / "out" / "other.musicxml")

    result["batch"] = [processor_time(convert_batch) / len(batch) for _ in range(repetitions)]

    data = (pieces / SYMUSIC_PIECE).read_bytes()
    loads = 20
    symusic.Score.from_midi(data)
    result["symusic"] = [
        processor_time(lambda: [symusic.Score.from_midi(data) for _ in range(loads)]) / loads
        for _ in range(5 * repetitions)]
    verovio.enableLog(verovio.LOG_OFF)
    result["verovio"] = {}
    for name in ("lick", "tune"):
        text = (pieces / f"{name}.musicxml").read_text()
        engraver = verovio.toolkit()

        def engrave():
            engraver.loadData(text)
            for page in range(engraver.getPageCount()):
                engraver.renderToSVG(page + 1)

        engrave()
        result["verovio"][name] = [processor_time(engrave) for _ in range(3 * repetitions)]
    json.dump(result, sys.stdout)


main()
