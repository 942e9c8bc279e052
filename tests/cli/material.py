"""Inputs for the tests of the program, built byte by byte so that nothing of ours takes part in them.

MIDI after "Standard MIDI Files 1.0"; MusicXML after the MusicXML 4.0 schema.
"""

import struct
import zipfile
import xml.etree.ElementTree as ET

TICKS = 480  # a quarter note


def quantity(value):
    """A variable-length quantity."""
    data = bytes([value & 0x7F])
    while value := value >> 7:
        data = bytes([0x80 | value & 0x7F]) + data
    return data


def meta(kind, data):
    return bytes([0xFF, kind]) + quantity(len(data)) + data


def chunk(kind, data):
    return kind + struct.pack(">I", len(data)) + data


def track(events):
    """A track chunk from (tick, bytes), sorted; what ends comes before what begins."""
    data, now = b"", 0
    for tick, event in sorted(events, key=lambda e: (e[0], e[1][0] & 0xF0 == 0x90)):
        data += quantity(tick - now) + event
        now = tick
    return chunk(b"MTrk", data + quantity(0) + meta(0x2F, b""))


def voice(name, notes, channel=1, program=106):
    """A track of notes (start in quarters, length in quarters, MIDI number); program counted from 1."""
    events = [(0, meta(0x03, name.encode())), (0, bytes([0xC0 | channel - 1, program - 1]))]
    for start, length, pitch in notes:
        on, off = round(start * TICKS), round((start + length) * TICKS)
        events += [(on, bytes([0x90 | channel - 1, pitch, 80])), (off, bytes([0x80 | channel - 1, pitch, 0]))]
    return track(events)


def midi(*voices, key=1, meter=(4, 2), tempo=500_000, title="Library Reel"):
    """Format 1; key in sharps or None, meter as (numerator, power of two), tempo in microseconds a quarter."""
    events = [(0, meta(0x03, title.encode())), (0, meta(0x51, tempo.to_bytes(3, "big")))]
    if meter:
        events.append((0, meta(0x58, bytes([*meter, 24, 8]))))
    if key is not None:
        events.append((0, meta(0x59, struct.pack("bB", key, 0))))
    head = chunk(b"MThd", struct.pack(">HHH", 1, len(voices) + 1, TICKS))
    return head + track(events) + b"".join(voices)


def line(pitches, length=1.0):
    return [(at * length, length, pitch) for at, pitch in enumerate(pitches)]


# Four measures in G, all of it on a banjo in open G.
REEL = [67, 69, 71, 72, 74, 71, 67, 71, 69, 66, 62, 66, 67, 62, 67, 67]


def reel():
    return midi(voice("Banjo", line(REEL)))


def long_reel(measures):
    pitches = (REEL * (measures // 4 + 1))[: measures * 4]
    return midi(voice("Banjo", line(pitches)))


# ---- reading what the program wrote ----------------------------------------------------------------


def without_end(data):
    """A MIDI file whose last track lacks its end-of-track event, the one thing of MIDI that check --fix adds."""
    track, end = data.rindex(b"MTrk"), data.rindex(b"\xff\x2f\x00") - 1  # with its delta time
    return data[:track + 4] + struct.pack(">I", end - track - 8) + data[track + 8:end]


def midi_notes(data):
    """All note-ons as (tick, channel, pitch), in order; ticks a quarter."""
    assert data[:4] == b"MThd"
    ticks = struct.unpack(">H", data[12:14])[0]
    at, found = 8 + struct.unpack(">I", data[4:8])[0], []
    while at < len(data):
        size = struct.unpack(">I", data[at + 4 : at + 8])[0]
        if data[at : at + 4] == b"MTrk":
            found += _track_notes(data[at + 8 : at + 8 + size])
        at += 8 + size
    return sorted(found), ticks


def _track_notes(data):
    at, now, status, found = 0, 0, 0, []

    def number():
        nonlocal at
        value = 0
        while True:
            byte = data[at]
            at += 1
            value = value << 7 | byte & 0x7F
            if byte < 0x80:
                return value

    while at < len(data):
        now += number()
        if data[at] >= 0x80:
            status = data[at]
            at += 1
        if status == 0xFF:
            at += 1  # the kind of the meta event
            size = number()
            at += size
        elif status in (0xF0, 0xF7):
            size = number()
            at += size
        else:
            two = status & 0xF0 not in (0xC0, 0xD0)
            if status & 0xF0 == 0x90 and data[at + 1] > 0:
                found.append((now, (status & 0x0F) + 1, data[at]))
            at += 2 if two else 1
    return found


def sounding(root, staff="1"):
    """The sounding MIDI numbers of a MusicXML document's notes on one staff, struck ones only."""
    numbers = []
    steps = dict(C=0, D=2, E=4, F=5, G=7, A=9, B=11)
    for part in root.iter("part"):
        shift = 0
        for element in part.iter():
            if element.tag == "transpose" and element.get("number") in (None, staff):
                shift = int(element.findtext("chromatic", "0")) + 12 * int(element.findtext("octave-change", "0"))
            if element.tag != "note" or element.findtext("staff", "1") != staff:
                continue
            pitch = element.find("pitch")
            if pitch is None or any(tie.get("type") == "stop" for tie in element.findall("tie")):
                continue
            alter = int(float(pitch.findtext("alter", "0")))
            numbers.append(steps[pitch.findtext("step")] + alter + 12 * (int(pitch.findtext("octave")) + 1) + shift)
    return numbers


def musicxml(path):
    """The root of a MusicXML file, compressed or not."""
    if zipfile.is_zipfile(path):
        with zipfile.ZipFile(path) as archive:
            container = ET.fromstring(archive.read("META-INF/container.xml"))
            name = next(e for e in container.iter() if e.tag.endswith("rootfile")).get("full-path")
            return ET.fromstring(archive.read(name))
    return ET.parse(path).getroot()


def frets(root, staff="2"):
    """(string, fret) of a MusicXML document's notes on one staff."""
    return [
        (int(technical.findtext("string")), int(technical.findtext("fret")))
        for note in root.iter("note")
        if note.findtext("staff", "1") == staff
        for technical in note.iter("technical")
        if technical.find("string") is not None
    ]


# ---- MusicXML inputs -------------------------------------------------------------------------------


def xml_note(step, octave, duration=1, string=None, fret=None, alter=0, more=""):
    place = ""
    if string is not None:
        place = f"<technical><string>{string}</string><fret>{fret}</fret></technical>"
    altered = f"<alter>{alter}</alter>" if alter else ""
    return (
        f"<note><pitch><step>{step}</step>{altered}<octave>{octave}</octave></pitch>"
        f"<duration>{duration}</duration><voice>1</voice><type>quarter</type>"
        f"<notations>{place}{more}</notations></note>"
    )


def xml_score(*measures, name="Banjo", key=1, transpose=""):
    """A MusicXML 4.0 document of measures in 4/4, a quarter note being one division. Sounding pitch."""
    body = ""
    for number, content in enumerate(measures, 1):
        attributes = ""
        if number == 1:
            attributes = (
                f"<attributes><divisions>1</divisions><key><fifths>{key}</fifths><mode>major</mode></key>"
                f"<time><beats>4</beats><beat-type>4</beat-type></time>{transpose}</attributes>"
            )
        body += f'<measure number="{number}">{attributes}{content}</measure>'
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<score-partwise version="4.0">'
        "<work><work-title>Handout 3</work-title></work>"
        f'<part-list><score-part id="P1"><part-name>{name}</part-name></score-part></part-list>'
        f'<part id="P1">{body}</part></score-partwise>'
    ).encode()


def lick():
    """One measure, all places given: fifth string open, a G high up on the fourth string, two others."""
    return xml_score(
        xml_note("G", 4, string=5, fret=0)
        + xml_note("G", 4, string=4, fret=17)
        + xml_note("B", 3, string=2, fret=0)
        + xml_note("A", 4, string=5, fret=7)
    )


def repeated():
    """Two measures, repeated."""
    end = '<barline location="right"><bar-style>light-heavy</bar-style><repeat direction="backward"/></barline>'
    quarter = xml_note("G", 4)
    return xml_score(quarter * 4, quarter * 4 + end)
