"""One table of what tests/bench/run measured:  table.py FOLDER-OF-RESULTS"""
import json
import os
import re
import sys
from pathlib import Path

RESULTS = Path(sys.argv[1])


def runs(name):
    """{benchmark: [run, ...]} of a result of Google Benchmark."""
    found = {}
    for run in json.loads((RESULTS / f"{name}.json").read_text())["benchmarks"]:
        if run.get("error_occurred"):
            sys.exit(f"{run['name']}: {run['error_message']}")
        if run["run_type"] == "iteration":
            words = run["name"].split("/")
            key = "/".join(word for word in words if word.isdigit() or word == words[0])
            found.setdefault(key, []).append(run)
    return found


def least(found, key="cpu_time"):
    return {name: min(run[key] for run in all_runs) for name, all_runs in found.items()}


def instructions():
    counted = {}
    for file in RESULTS.glob("callgrind.*"):
        text = file.read_text()
        name = re.search(r"^desc: Trigger: Client Request: (.+)$", text, re.M)
        total = re.search(r"^(?:summary|totals): (\d+)", text, re.M)
        if name and total:
            counted[name[1]] = int(total[1])
    return counted


ROWS = []
BATCH_FILES = 1000  # as in process.cpp


def row(what, measured, goal="", met=None, more=""):
    ROWS.append((what, measured, goal, {True: "met", False: "MISSED", None: ""}.get(met, met), more))


def ratio_row(what, times, counts, ours, theirs, most):
    ratio = times[ours] / times[theirs]
    row(what, f"{ratio:.2f}", f"at most {most}", ratio <= most,
        f"{counts[ours] / counts[theirs]:.2f} in instructions")


def check_rows():
    """`check` with the grammar beside xmllint with the published schema: see check.py."""
    found = json.loads((RESULTS / "check.json").read_text())
    one, batch = ({kind: min(times) * 1e3 for kind, times in found[what].items()} for what in ("one", "batch"))
    counts = found["instructions"]
    ratio = one["grammar"] / one["xmllint"]
    row("check with the grammar, one file / xmllint with the published schema", f"{ratio:.2f}", "at most 1",
        ratio <= 1, f"{counts['grammar'] / counts['xmllint']:.2f} in instructions; "
        f"{one['grammar']:.1f} ms / {one['xmllint']:.1f} ms; all rules {one['all rules']:.1f} ms")
    faster = batch["xmllint one by one"] / batch["grammar"]
    row("  500 files: xmllint one by one / check with the grammar", f"{faster:.1f}", "at least 10", faster >= 10,
        f"{batch['xmllint one by one']:.2f} ms / {batch['grammar']:.2f} ms a file")
    row("  500 files: xmllint with all of them at once / check with the grammar",
        f"{batch['xmllint'] / batch['grammar']:.2f}", "", None, f"all rules {batch['all rules']:.2f} ms a file")
    for kind in ("grammar", "all rules"):
        growth = sorted((int(size), *figures) for size, figures in found["growth"][kind].items())
        for (small, small_time, _), (large, time, peak) in zip(growth, growth[1:]):
            times = time / small_time / (large / small) * 10
            row(f"  {kind}, ten times the XML, to {large / 1e6:.1f} MB", f"{times:.1f}", "at most 12", times <= 12,
                f"{time * 1e3:.0f} ms, peak memory {peak / 2 ** 20:.0f} MiB, {peak / large:.1f} bytes a byte")


def sheet_rows(others):
    """Drawing beside verovio, which engraves the same MusicXML in memory: see sheet.cpp."""
    times = least(runs("sheet"))
    for name, goal in (("tune", 0.5), ("lick", 1)):
        ours, theirs = times[f"svg_of_a_{name}"], min(others["verovio"][name]) * 1e3
        row(f"SVG of a {name} / verovio {others['versions']['verovio']}, both in memory", f"{ours / theirs:.3f}",
            f"at most {goal}", ours <= goal * theirs, f"{ours:.2f} ms / {theirs:.0f} ms")
        ratio = times[f"pdf_of_a_{name}"] / ours
        row(f"  PDF / SVG of the {name}", f"{ratio:.1f}", "at most 2", ratio <= 2, f"{times[f'pdf_of_a_{name}']:.2f} ms")
    for small, large in ((100, 1000), (1000, 10000)):
        growth = times[f"svg_of_measures/{large}"] / times[f"svg_of_measures/{small}"]
        row(f"  {large:,} measures / {small:,}", f"{growth:.1f}", "at most 12", growth <= 12,
            f"{times[f'svg_of_measures/{large}']:.0f} ms")


def audio_rows():
    """Sound against the time that it takes to hear it: audio.cpp plays eight notes in two seconds."""
    times = least(runs("audio"))
    for what, name in (("samples", "samples_of_measures/8"), ("WAV", "wav_of_measures/8"), ("FLAC", "flac_of_measures/8"),
                       ("WAV with backing and click", "wav_with_backing/8")):
        faster = 18e3 / times[name]  # a measure of count-in, and eight of music
        row(f"{what} of eight measures: so much faster than it sounds", f"{faster:.0f}", "at least 50", faster >= 50,
            f"{times[name]:.0f} ms")
    growth = times["wav_of_measures/800"] / times["wav_of_measures/80"]
    row("  WAV of 800 measures / 80", f"{growth:.1f}", "at most 12", growth <= 12, f"{times['wav_of_measures/800']:.0f} ms")


def main():
    times, counts = least(runs("stages")), instructions()
    ratio_row("MIDI to MusicXML with fingering / tinyxml2 parsing the result", times, counts,
              "convert_midi_to_musicxml", "parse_with_tinyxml2", 4)
    ratio_row("MIDI in / libsmf's load", times, counts, "read_midi", "load_with_libsmf", 4)
    ratio_row("MIDI in / libsmf's load, played up to 10 ms off", times, counts,
              "read_played_midi", "load_played_with_libsmf", 4)
    ratio_row("MusicXML in / tinyxml2's parse", times, counts, "read_musicxml_both_staves", "parse_with_tinyxml2", 2)
    for name in ("read_midi", "find_fingers", "write_musicxml_both_staves", "read_musicxml_both_staves"):
        row(f"  {name.replace('_', ' ')}, 10,000 notes", f"{times[name]:.1f} ms")

    others = json.loads((RESULTS / "others.json").read_text())
    music21 = f"music21 {others['versions']['music21']}"
    for notes, found in others["music21"].items():
        warm, process, ours = (min(found[kind]) * 1e3 for kind in ("warm", "process", "ours"))
        plain = times[f"convert_without_hands/{notes}"]
        for what, theirs, our in (("in memory / fifthpeg in memory, both without fingering", warm, plain),
                                  ("process / fifthpeg process, with fingering", process, ours),
                                  ("in memory / fifthpeg process, with fingering", warm, ours)):
            row(f"{notes} notes: {music21} {what}", f"{theirs / our:.0f}", "at least 100", theirs / our >= 100,
                f"{theirs:.0f} ms / {our:.2f} ms")
    warm, ours = min(others["batch"]) * 1e3, least(runs("batch"), "real_time")["convert_a_batch/1"] / BATCH_FILES
    row(f"a file of many: {music21}, one process / fifthpeg, one process, with fingering", f"{warm / ours:.0f}",
        "at least 100", warm / ours >= 100, f"{warm:.1f} ms / {ours:.2f} ms")
    symusic = min(others["symusic"]) * 1e3
    row(f"MIDI in / symusic {others['versions']['symusic']} loading the same", f"{times['read_midi'] / symusic:.1f}",
        "", None, f"{times['read_midi']:.2f} ms / {symusic:.2f} ms")

    sheet_rows(others)
    audio_rows()
    check_rows()

    growth = runs("growth")
    used, peak = least(growth, "real_time"), {name: max(run["peak"] for run in all_runs)
                                              for name, all_runs in growth.items()}
    sizes = sorted(int(name.split("/")[1]) for name in used)
    for smaller, larger in zip(sizes, sizes[1:]):
        times_as_long = used[f"convert_a_piece/{larger}"] / used[f"convert_a_piece/{smaller}"]
        row(f"{larger:,} notes / {smaller:,}", f"{times_as_long:.1f}", "at most 12", times_as_long <= 12,
            f"{used[f'convert_a_piece/{larger}']:.0f} ms")
    for size in sizes[1:]:
        a_note = peak[f"convert_a_piece/{size}"] / size
        row(f"peak memory a note, {size:,} notes", f"{a_note:.0f} bytes", "at most 1,500", a_note <= 1500,
            f"{peak[f'convert_a_piece/{size}'] / 2 ** 20:.1f} MiB in all")

    start = runs("start")
    used, passed = least(start, "real_time"), least(start, "least")
    for name in ("start_of_nothing", "start_of_fifthpeg", "convert_a_lick", "convert_a_lick_again"):
        milliseconds = passed[name] * 1e3
        goal = ("at most 10 ms", milliseconds <= 10) if name == "convert_a_lick" else ("", None)
        row(f"process: {name.replace('_', ' ')}, time that passes", f"{milliseconds:.1f} ms", *goal,
            f"{used[name]:.1f} ms of processor time")

    batch = least(runs("batch"), "passed")
    faster = batch["convert_a_batch/1"] / batch["convert_a_batch/2"]
    load = json.loads((RESULTS / "batch.json").read_text())["context"]["load_avg"][0]
    # Beyond two times, or beside other work, it is the other work that was measured.
    first = bool((RESULTS / "first.txt").read_text().strip())
    quiet = (first or load < 0.5) and faster <= 2.05
    row("1,000 files, --jobs 1 / --jobs 2, time that passes", f"{faster:.2f}", "at least 1.8",
        faster >= 1.8 if quiet else "not measurable: other work",
        f"{batch['convert_a_batch/1']:.1f} s / {batch['convert_a_batch/2']:.1f} s; load average before: {load:.1f}"
        + (", before all other work" if first else ""))
    differences = (RESULTS / "batch-differences.txt").read_text().splitlines()
    processor = least(runs("batch"), "real_time")
    row("  processor time, --jobs 2 / --jobs 1", f"{processor['convert_a_batch/2'] / processor['convert_a_batch/1']:.2f}",
        "", None, f"{processor['convert_a_batch/1'] / 1e3:.1f} s with one job")
    row("  outputs that differ from those made one by one", str(len(differences)), "0", not differences)

    passed, processor = least(runs("many"), "passed"), least(runs("many"), "real_time")
    for name, what in (("find_among_many", "find --from G --to C"), ("find_alike_among_many", "find --like")):
        row(f"{what} in a folder of 2,052 licks, --jobs 2, time that passes", f"{passed[name + '/2']:.2f} s", "", None,
            f"{passed[name + '/1']:.2f} s with one job; {processor[name + '/1'] / 1e3:.2f} s of processor time")

    model = re.search(r"model name\s*: (.+)", Path("/proc/cpuinfo").read_text())
    print(f"{os.cpu_count()} cores ({model[1] if model else 'unknown'}), load average {os.getloadavg()[0]:.1f}")
    for what, measured, goal, met, more in ROWS:
        print(f"{what:88} {measured:>10}  {goal:14} {met:7} {more}".rstrip())


main()
