#!/usr/bin/env python3
"""Runs clang-tidy over the sources of a build:  tidy.py BUILD [--fresh]

What has been found clean is not looked at again until it or something that it includes changes: keys of clean texts
are kept in the user's cache for a month after their last use. --fresh does without.

The sources of a folder are looked at together, since most of the time goes into the headers that they share. A
batch that is not clean, or does not compile as one text, is halved until what is said is said of one source."""
import hashlib
import itertools
import json
import os
import shlex
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import NamedTuple

TIDY, CLANG = "clang-tidy-14", "clang++-14"
ROOT = Path(__file__).resolve().parents[1]
CACHE = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "fifthpeg" / "lint"
KEPT = 30 * 24 * 60 * 60  # seconds


class Source(NamedTuple):
    path: str
    flags: tuple[str, ...]


def output(*command):
    return subprocess.run(command, capture_output=True, check=True).stdout


def sources(build):
    """Those that this project keeps, not what the build generates."""
    kept = {str(ROOT / name) for name in output("git", "-C", ROOT, "ls-files", "src/*.cpp").decode().split()}
    found = []
    for entry in json.loads((build / "compile_commands.json").read_text()):
        words = shlex.split(entry["command"])[1:]
        del words[words.index("-o"):words.index("-o") + 2]
        words.remove("-c")
        words.remove(entry["file"])
        if entry["file"] in kept:
            found.append(Source(entry["file"], tuple(words)))
    for path in kept - {source.path for source in found}:
        sys.exit(f"{path}: not part of the build")
    return sorted(found)


def key(source, tool):
    """All that a finding can depend on: the rules, their reader, and the text with its comments, some of which
    silence a rule."""
    text = output(CLANG, *source.flags, "-E", "-P", "-C", source.path)
    return hashlib.sha256(tool + "\0".join(source.flags).replace(str(ROOT), "").encode() + text).hexdigest()


def faults(batch, scratch):
    """What clang-tidy has against some sources of the same folder."""
    if len(batch) == 1:
        path = batch[0].path
    else:
        path = scratch / (hashlib.sha256("\n".join(source.path for source in batch).encode()).hexdigest() + ".cpp")
        path.write_text("".join(f'#include "{source.path}"  // NOLINT(bugprone-suspicious-include)\n' for source in batch))
    done = subprocess.run([TIDY, "--quiet", f"--config-file={ROOT / '.clang-tidy'}", path, "--", *batch[0].flags],
                          capture_output=True, text=True)
    if done.returncode == 0:
        return ""
    if len(batch) == 1:
        return done.stdout + done.stderr
    half = len(batch) // 2
    return faults(batch[:half], scratch) + faults(batch[half:], scratch)


def main():
    build, fresh = Path(sys.argv[1]), "--fresh" in sys.argv[2:]
    CACHE.mkdir(parents=True, exist_ok=True)
    for verdict in CACHE.iterdir():
        if time.time() - verdict.stat().st_mtime > KEPT:
            verdict.unlink(missing_ok=True)
    scratch = build / "batches"
    scratch.mkdir(exist_ok=True)
    tool = output(TIDY, "--version") + (ROOT / ".clang-tidy").read_bytes()

    with ThreadPoolExecutor(os.cpu_count()) as workers:
        everything = sources(build)
        verdicts = {source: CACHE / name
                    for source, name in zip(everything, workers.map(lambda source: key(source, tool), everything))}
        new = [source for source in everything if fresh or not verdicts[source].exists()]
        batches = [list(batch) for _, batch in
                   itertools.groupby(new, lambda source: (Path(source.path).parent, source.flags))]
        batches.sort(key=len, reverse=True)
        said = list(workers.map(lambda batch: faults(batch, scratch), batches))
    # A batch that is not clean may hold sources that are; they are looked at again next time.
    clean = set(everything) - {source for batch, text in zip(batches, said) if text for source in batch}
    for source in clean:
        verdicts[source].touch()
    print(f"{len(everything)} sources, {len(new)} of them new", *filter(None, said), sep="\n")
    sys.exit(any(said))


if __name__ == "__main__":
    main()
