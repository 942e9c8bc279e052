"""Runs the program within limits that the kernel enforces, and says what it took.

AddressSanitizer reserves terabytes of addresses and multiplies what is allocated, so of a sanitized build only the time
is bounded.
"""

import os
import resource
import subprocess
import threading

from conftest import BUILD, PROGRAM, STATUSES

MiB = 1 << 20


def is_sanitized():
    cache = BUILD / "CMakeCache.txt"
    return cache.exists() and "FIFTHPEG_SANITIZE:BOOL=ON" in cache.read_text()


SANITIZED = is_sanitized()
SLOWER = 20 if SANITIZED else 1  # for what a sanitized build takes


class Bounded:
    def __init__(self, status, out, err, peak, seconds):
        self.status = status
        self.out = out
        self.err = err
        self.peak = peak  # bytes of memory at most, resident; what this process had at the fork counts too
        self.seconds = seconds  # of processor time

    @property
    def errors(self):
        return [line for line in self.err.splitlines() if line.startswith("fifthpeg: ")]


def bounded(folder, *arguments, memory, seconds, stdin=subprocess.DEVNULL, file_size=None):
    """At most `memory` bytes of addresses and `seconds` of processor time; more ends the program by a signal, which is
    none of its statuses. Eight times as much time may pass, for the machine may have other things to do."""
    seconds *= SLOWER

    def limit():
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds + 1))
        if not SANITIZED:
            resource.setrlimit(resource.RLIMIT_AS, (memory, memory))
        if file_size is not None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (file_size, file_size))

    with open(folder / ".out", "w+b") as out, open(folder / ".err", "w+b") as err:
        process = subprocess.Popen([str(PROGRAM), *map(str, arguments)], cwd=folder, stdin=stdin, stdout=out, stderr=err,
                                   preexec_fn=limit)
        watch = threading.Timer(8 * seconds, process.kill)
        watch.start()
        _, wait_status, usage = os.wait4(process.pid, 0)
        watch.cancel()
        process.returncode = os.waitstatus_to_exitcode(wait_status)
        out.seek(0)
        err.seek(0)
        result = Bounded(process.returncode, out.read(), err.read().decode("utf-8"), usage.ru_maxrss * 1024,
                         usage.ru_utime + usage.ru_stime)
    (folder / ".out").unlink()
    (folder / ".err").unlink()
    assert result.status in STATUSES, (arguments, result.status, result.err[-2000:])
    if not SANITIZED:
        assert result.peak <= memory
    print(f"{' '.join(map(str, arguments))[:80]}: status {result.status}, {result.peak / MiB:.0f} MiB, "
          f"{result.seconds:.2f} s")
    return result
