"""What becomes of every kind of MIDI event on the way to MusicXML.

The kinds are those of Standard MIDI Files 1.0 (RP-001, with its recommended practices on lyrics, device and program
names and escaped messages) and of MIDI 1.0's channel voice messages. Each stands in a small tune, beside the same tune
without it.
"""

from __future__ import annotations

import functools
import json
import struct
import subprocess
import tempfile
from pathlib import Path
from typing import Callable, NamedTuple

from lxml import etree
from program import PROGRAM

TICKS = 96


class Kind(NamedTuple):
    name: str  # in the table
    status: str  # carried, translated, told
    how: str  # of translated: in other words; of told: the report's slug
    events: list  # (tick, bytes) that are added to the tune's track
    check: Callable  # of (with, without), each a Made; or of told: a word that the report's text has
    basis: str = "tune"


class Made(NamedTuple):
    status: int
    told: dict  # slug: text
    root: object  # the MusicXML, None if there is none


def quantity(value: int) -> bytes:
    data = bytes([value & 0x7F])
    while value := value >> 7:
        data = bytes([0x80 | value & 0x7F]) + data
    return data


def meta(kind: int, data: bytes) -> bytes:
    return bytes([0xFF, kind]) + quantity(len(data)) + data


def chunk(kind: bytes, data: bytes) -> bytes:
    return kind + struct.pack(">I", len(data)) + data


def track(events) -> bytes:
    data, now = b"", 0
    for tick, event in sorted(events, key=lambda one: (one[0], one[1][0] & 0xF0 == 0x90)):
        data += quantity(tick - now) + event
        now = tick
    return chunk(b"MTrk", data + b"\x00" + meta(0x2F, b""))


def note(start, length, pitch, velocity=80, off=None) -> list:
    ends = bytes([0x80, pitch, 0]) if off is None else off
    return [(start, bytes([0x90, pitch, velocity])), (start + length, ends)]


def tune(extra, basis) -> bytes:
    events = [(0, meta(0x58, bytes([4, 2, 24, 8]))), (0, meta(0x59, bytes([1, 0])))]
    pitches = [67, 69, 71, 74, 67, 71, 74, 67]
    if basis == "tune":
        for at, pitch in enumerate(pitches):
            events += note(at * TICKS, TICKS, pitch)
    elif basis == "bare":  # the example has the notes itself
        events += [one for at, pitch in enumerate(pitches[1:], 1) for one in note(at * TICKS, TICKS, pitch)]
    elif basis == "conductor":
        events += extra
        notes = [one for at, pitch in enumerate(pitches) for one in note(at * TICKS, TICKS, pitch)]
        return chunk(b"MThd", struct.pack(">HHH", 1, 2, TICKS)) + track(events) + track(notes)
    elif basis == "plain":  # without meter and key
        events = [one for at, pitch in enumerate(pitches) for one in note(at * TICKS, TICKS, pitch)]
    return chunk(b"MThd", struct.pack(">HHH", 0, 1, TICKS)) + track(events + extra)


def found(path) -> Callable:
    """The output has it, and had it not without the event."""

    def check(with_it, without):
        return bool(with_it.root.xpath(path)) and not without.root.xpath(path)

    return check


def _controller(number, value=64):
    return [(0, bytes([0xB0, number, value]))]


def _text(kind, text=b"Words"):
    return [(TICKS, meta(kind, text))]


def kinds() -> list[Kind]:
    carried, translated, told = "carried", "translated", "told"
    notes = "count(//note[staff = '1'][pitch/step = 'G']) = 3"
    result = [
        Kind("note on (90)", carried, "", note(0, TICKS, 67), found(notes), "bare"),
        Kind("note off (80)", translated, "the length", note(0, TICKS, 67), found(notes), "bare"),
        Kind("note on of velocity 0", translated, "the length", note(0, TICKS, 67, off=bytes([0x90, 67, 0])),
             found(notes), "bare"),
        Kind("velocity", told, "midi-velocity", note(0, TICKS, 67, velocity=30), "loud", "bare"),
        Kind("polyphonic aftertouch (A0)", told, "midi-aftertouch", [(10, bytes([0xA0, 67, 40]))], "aftertouch"),
        Kind("channel aftertouch (D0)", told, "midi-aftertouch", [(10, bytes([0xD0, 40]))], "aftertouch"),
        Kind("program change (C0) within a part", told, "midi-program-change",
             [(0, bytes([0xC0, 105])), (TICKS, bytes([0xC0, 24]))], "instrument"),
        Kind("program change (C0) at the start", translated, "the banjo's own, what the part is chosen by",
             [(0, bytes([0xC0, 105]))], _same),
        Kind("pitch bend (E0) up and held", translated, "`bend`", [
            (10, bytes([0xE0, 0, 0x60])), (20, bytes([0xE0, 0, 0x7F])), (TICKS - 1, bytes([0xE0, 0, 0x40]))],
             found("//bend/bend-alter")),
        Kind("pitch bend (E0) of no technique", told, "midi-bend", [
            (10, bytes([0xE0, 0, 0x41])), (20, bytes([0xE0, 0, 0x3E])), (30, bytes([0xE0, 0, 0x40]))], "bends"),
        Kind("system exclusive (F0)", told, "midi-sysex", [(TICKS, b"\xf0\x05\x7e\x7f\x09\x01\xf7")], "exclusive"),
        Kind("escaped messages (F7)", told, "midi-sysex", [(TICKS, b"\xf7\x02\xf3\x01")], "exclusive"),
        Kind("sequence number (FF 00)", told, "midi-sequence-number", [(0, meta(0x00, b"\x00\x07"))], "number"),
        Kind("text (FF 01) in the first track of format 1", carried, "", _text(0x01), found("//words = 'Words'"),
             "conductor"),
        Kind("text (FF 01) beside the music", told, "midi-text", _text(0x01), "texts"),
        Kind("copyright (FF 02)", carried, "", [(0, meta(0x02, b"2024 nobody"))], found("//rights = '2024 nobody'")),
        Kind("sequence or track name (FF 03)", carried, "", [(0, meta(0x03, b"Porch Reel"))],
             found("//work-title = 'Porch Reel' or //part-name = 'Porch Reel'")),
        Kind("instrument name (FF 04)", translated, "the banjo's own", [(0, meta(0x04, b"Old guitar"))], _same),
        Kind("another name (FF 03, FF 04)", told, "midi-another-name",
             [(0, meta(0x04, b"Old guitar")), (0, meta(0x04, b"New guitar"))], "name"),
        Kind("lyric (FF 05)", carried, "", _text(0x05, b"la"), found("//lyric/text = 'la'")),
        Kind("marker (FF 06)", carried, "", _text(0x06, b"Part A"), found("//rehearsal = 'Part A'")),
        Kind("marker (FF 06) that is a chord symbol", translated, "`harmony`", _text(0x06, b"Am7"),
             found("//harmony[root/root-step = 'A'][kind = 'minor-seventh']")),
        Kind("cue point (FF 07)", carried, "", _text(0x07), found("//words = 'Words'")),
        Kind("program name (FF 08)", told, "midi-device-name", [(0, meta(0x08, b"Banjo 2"))], "name"),
        Kind("device name (FF 09)", told, "midi-device-name", [(0, meta(0x09, b"Port A"))], "name"),
        Kind("channel prefix (FF 20)", told, "midi-channel-prefix", [(0, meta(0x20, b"\x00"))], "prefix"),
        Kind("port (FF 21)", told, "midi-port", [(0, meta(0x21, b"\x01"))], "port"),
        Kind("end of track (FF 2F)", translated, "the last measure", [], _same),
        Kind("tempo (FF 51)", carried, "", [(0, meta(0x51, (600_000).to_bytes(3, "big")))],
             found("//sound/@tempo = '100'")),
        Kind("SMPTE offset (FF 54)", told, "midi-smpte-offset", [(0, meta(0x54, bytes([0x60, 1, 0, 0, 0])))], "time code"),
        Kind("time signature (FF 58)", carried, "", [(0, meta(0x58, bytes([3, 2, 24, 8])))],
             found("//time[beats = '3'][beat-type = '4']"), "plain"),
        Kind("key signature (FF 59)", carried, "", [(0, meta(0x59, bytes([2, 0])))], found("//key/fifths = '2'"), "plain"),
        Kind("sequencer-specific (FF 7F)", told, "midi-sequencer-specific", [(0, meta(0x7F, b"\x43\x00\x01"))],
             "sequencer"),
    ]
    known = {*range(0x0A), 0x20, 0x21, 0x2F, 0x51, 0x54, 0x58, 0x59, 0x7F}
    for number in range(0x80):
        if number not in known:
            result.append(Kind("meta events of any other type", told, "midi-unknown-meta",
                               [(TICKS, meta(number, b"\x01\x02"))], "unknown"))
    # Registered parameter 0, with data entry, sets how far a bend reaches: here two octaves.
    bend = [(10, bytes([0xE0, 0, 0x43])), (20, bytes([0xE0, 0, 0x45])), (TICKS - 1, bytes([0xE0, 0, 0x40]))]
    for selected in ([101, 100], [100, 101]):
        result.append(Kind("bend range (B0 64, 65, 06)", translated, "how far `bend` goes", [
            *((0, bytes([0xB0, number, 0])) for number in selected), (1, bytes([0xB0, 6, 24])), *bend],
            found("//bend/bend-alter > 1")))
    for number in sorted(set(range(0x80)) - {100, 101}):
        result.append(Kind("controllers, channel modes, bank select (B0)", told, "midi-controller",
                           [(TICKS // 2, bytes([0xB0, number, 64]))], "controllers"))
    return result


def _same(with_it, without):
    return with_it.status == 0 and [e.tag for e in with_it.root.iter()] == [e.tag for e in without.root.iter()]


class Outcome(NamedTuple):
    kind: Kind
    with_it: Made
    without: Made

    @property
    def holds(self) -> bool:
        if self.with_it.status != 0:
            return False
        if self.kind.status == "told":
            new = self.with_it.told.keys() - self.without.told.keys()
            return self.kind.how in new and self.kind.check in self.with_it.told[self.kind.how]
        return bool(self.kind.check(self.with_it, self.without))


@functools.cache
def outcomes() -> list[Outcome]:
    all_kinds = kinds()
    files = {}
    for kind in all_kinds:
        files.setdefault(tune(kind.events, kind.basis), len(files))
        files.setdefault(tune([], kind.basis), len(files))
    made = {}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for data, number in files.items():
            (folder / f"{number}.mid").write_bytes(data)
        done = subprocess.run([PROGRAM, "convert", *(f"{number}.mid" for number in files.values()), "-d", "out", "--to",
                               "musicxml", "--json"], cwd=folder, capture_output=True, timeout=120, check=False)
        for report in json.loads(done.stdout)["files"]:
            number = report["input"].split(".")[0]
            root = etree.parse(str(folder / "out" / f"{number}.musicxml")).getroot() if report["status"] == 0 else None
            made[int(number)] = Made(report["status"], {one["slug"]: one["text"] for one in report["told"]}, root)
    return [Outcome(kind, made[files[tune(kind.events, kind.basis)]], made[files[tune([], kind.basis)]])
            for kind in all_kinds]


def listed(status: str) -> list[str]:
    """The kinds of a status as the table names them; what is not as it should be is left to the tests."""
    rows = [f"{one.kind.name} ({one.kind.how})" if status == "translated" else one.kind.name
            for one in outcomes() if one.kind.status == status and one.holds]
    return list(dict.fromkeys(rows))
