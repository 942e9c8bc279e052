"""Files that take long to make and are the same each time: made once, by whichever worker needs them first, and kept
in the cache folder for later runs."""
import contextlib
import fcntl
import hashlib
import os
import shutil
import sys
import tempfile
import time
from pathlib import Path

import music21

ROOT = Path(os.environ.get("FIFTHPEG_CACHE") or tempfile.gettempdir())
KEPT = 30 * 24 * 60 * 60  # seconds for which a folder that nobody uses is kept


def folder(name, source):
    """The folder of what a source file makes with this music21 and this Python. Old ones are removed."""
    made_by = hashlib.sha256(Path(source).read_bytes() + sys.version.encode()).hexdigest()[:12]
    found = ROOT / f"{name}-{music21.VERSION_STR}-{made_by}"
    found.mkdir(parents=True, exist_ok=True)
    os.utime(found)
    for other in ROOT.glob(f"{name}-*"):
        with contextlib.suppress(FileNotFoundError):  # another worker was faster
            if time.time() - other.stat().st_mtime > KEPT:
                shutil.rmtree(other)
    return found


def make(targets, work):
    """Has `work` make files where one of them is missing: it is given a path to write to for each. Whole or not at all,
    and once, whoever else needs them at the same time."""
    if all(target.is_file() for target in targets):
        return
    with open(targets[0].with_suffix(".lock"), "w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if all(target.is_file() for target in targets):
            return
        with tempfile.TemporaryDirectory(dir=targets[0].parent) as temporary:
            written = [Path(temporary) / target.name for target in targets]
            work(*written)
            for path, target in zip(written, targets):
                os.replace(path, target)
