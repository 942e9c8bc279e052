"""By which rules something that a MusicXML file says counts as carried, translated, told or layout.

Patterns are of the keys of support_matrix_table: "measure/note/pitch/step", "measure/note/lyric@number"; each holds for the
whole key. Where a rule speaks of a meaning, it is that of the element's documentation in MusicXML 4.0 (W3C Community
Group Report, June 2021), unless it says otherwise.
"""

from __future__ import annotations

import functools
import re

import schema
from lxml import etree
from support_matrix_judge import same

# -- layout

# The published schema's own groups of attributes that say how something looks and no more.
LAYOUT_GROUPS = [
    "bezier", "color", "dashed-formatting", "enclosure", "font", "halign", "justify", "letter-spacing", "level-display",
    "line-height", "line-length", "line-shape", "line-type", "optional-unique-id", "orientation", "placement",
    "position", "print-attributes", "print-object", "print-spacing", "print-style", "print-style-align", "printout",
    "smufl", "symbol-formatting", "system-relation", "text-decoration", "text-direction", "text-formatting",
    "text-rotation", "valign", "valign-image", "x-position", "y-position",
]
# And those that stand in no group: what they say of the print, after their documentation.
LAYOUT_ATTRIBUTES = {
    "width": "of a measure, frame, or bar, in tenths",
    "non-controlling": "whether a measure's barlines line up over all parts",
    "winged": "of a repeat's wings",
    "text-x": "of an ending's text", "text-y": "of an ending's text",
    "end-length": "of a bracket's or ending's end",
    "print-frame": "whether a chord has its diagram printed",
    "arrangement": "whether a bass note stands beside its root or below",
    "use-symbols": "whether a chord is printed with triangles and circles",
    "stack-degrees": "of a chord's degrees", "parentheses-degrees": "of a chord's degrees",
    "bracket-degrees": "of a chord's degrees", "plus-minus": "whether a degree is printed with + and -",
    "location": "on which side an accidental of a chord stands",
    "size": "full, cue, grace or large symbols",
    "separator": "what stands between the numbers of a meter",
    "additional": "whether a clef or key stands there only for one more voice or staff",
    "after-barline": "on which side of the barline a clef is printed",
    "show-number": "of a tuplet", "show-type": "of a tuplet", "bracket": "of a tuplet",
    "show-frets": "whether frets are printed as numbers or letters",
    "filled": "of a notehead",
    "print-leger": "whether a note has leger lines",
    "note-size": "of a grace note",
    "line-shape": "of a bracket", "unbroken": "of an arpeggio's line",
}

# Elements that say how something looks and no more, or say again what pitch and length say.
LAYOUT_ELEMENTS = {
    "accidental": "follows from pitch and key", "beam": "beams follow from the meter",
    "bracket": "a line over or under the staff", "end-line": "of lyrics", "end-paragraph": "of lyrics",
    "line-detail": "of a staff's lines", "multiple-rest": "how rests of several measures are printed",
    "eyeglasses": "a player's reminder on paper", "notehead-text": "text inside a notehead",
    "octave-shift": "pitch says where it sounds", "part-symbol": "of a group of staves",
    "print": "pages, systems and their margins", "staff-divide": "an arrow to another system",
    "staff-size": "of a staff", "stem": "stems follow from the voice", "display-step": "where a rest is printed",
    "display-octave": "where a rest is printed", "scaling": "", "separator": "", "cancel": "naturals before a key",
    "tuplet-dot": "printed with a tuplet", "tuplet-type": "printed with a tuplet", "system-dividers": "",
    "key-octave": "where a key's accidentals are printed",
}


@functools.cache
def layout_attributes() -> set[str]:
    root = etree.parse(str(schema.locate()["musicxml.xsd"]))
    namespaces = {"xs": "http://www.w3.org/2001/XMLSchema"}
    names = set(LAYOUT_ATTRIBUTES)
    for group in LAYOUT_GROUPS:
        (node,) = root.xpath(f"//xs:attributeGroup[@name='{group}']", namespaces=namespaces)
        names |= {one.get("name") or one.get("ref") for one in node.iter("{*}attribute")}
    return names


# Single values and elements that only say how something is printed.
PRINTED_ONLY = [
    r"measure/attributes/clef/(sign|line|clef-octave-change)(=.*)?",  # a pitch is what it is under any clef
    r"measure/attributes/time@symbol=(single-number|note|dotted-note)", r"measure/note/notehead=none",
    r"measure/attributes/staff-details/staff-lines",
]


def is_printed_only(name, key) -> bool:
    return any(re.fullmatch(pattern, text) for pattern in PRINTED_ONLY for text in (name, key))


# -- told under a name of its own: what it is, the report's slug, and a word of its text that names it

TOLD_OTHERWISE = [
    (r"measure/note/cue", "musicxml-cue", "cue notes"),
    (r"measure/note/unpitched(/display-step|/display-octave)?(=.*)?", "musicxml-unpitched", "pitch"),
    (r"measure/attributes/time/senza-misura", "musicxml-senza-misura", "without a meter"),
    (r"measure/attributes/key/key-(step|alter|accidental|octave)(@.*)?(=.*)?", "musicxml-key-non-traditional", "key"),
    (r"measure/barline/bar-style=.*", "musicxml-bar-style", "barline"),
    (r"measure/barline@location=(left|middle)", "musicxml-bar-style", "barline"),
    (r"measure/direction/direction-type/metronome/metronome-.*", "musicxml-metronome", "tempo mark"),
    (r"measure/note/notations/fermata=.*", "musicxml-fermata-shape", "fermata"),
    (r"measure/note/notations/articulations/(staccatissimo|spiccato)", "musicxml-staccato", "staccat"),
    (r"measure/note/notations/non-arpeggiate(@type|@number)?(=.*)?", "musicxml-non-arpeggiate", "bracket"),
    (r"measure/direction/sound/offset", "musicxml-sound-offset", "offset"),
    (r"measure/note/instrument(@id)?", "musicxml-instrument", "instrument"),
    (r"measure/(direction/)?sound/swing/straight", "musicxml-swing-changes", "swing"),
    (r"measure/note/play/other-play=.*", "musicxml-role", "role"),
    (r"measure/note/notehead(=.*)?", "musicxml-element-notehead", "notehead"),
]

# -- nothing that could be lost

# Elements that say nothing but what is in them.
HOLDERS = {
    "measure", "measure/attributes", "measure/barline", "measure/sound", "measure/direction/sound",
    "measure/note/notations", "measure/note/notations/articulations", "measure/note/notations/technical",
    "measure/attributes/staff-details", "measure/direction", "measure/direction/direction-type",
    "measure/note/pitch", "measure/attributes/measure-style", "measure/attributes/clef", "measure/attributes/key",
    "measure/attributes/time",
    "measure/note/notations/dynamics", "measure/note/notations/tuplet/tuplet-actual",
    "measure/note/notations/tuplet/tuplet-normal", "measure/direction/direction-type/dynamics",
}

# All that is in these is layout, so that their own attributes make no difference to the report.
LAYOUT_HOLDERS = {"measure/attributes/measure-style"}

# What holds where nothing is said.
USUAL = [
    r".*@xml:lang=", r".*/offset@sound=no", r".*@print-object=yes", r".*@(cautionary|editorial|parentheses|additional|implicit)=no",
    r"measure/barline/bar-style=regular", r"measure/barline@location=right",
    r"measure/note/grace@slash=no", r"measure/note/rest@measure=no", r"measure/attributes/time@symbol=normal",
    r"measure/(direction/)?sound@(dacapo|forward-repeat)=no", r"measure/note/lyric/syllabic=single",
    r"measure/note/notations/fermata=(normal)?", r"measure/note/notations/articulations/strong-accent@type=up",
    r"measure/note/notations/technical/fingering@(substitution|alternate)=no",
    r"measure/note/notations/(slur|tied)@type=continue", r"measure/note/notehead=normal",
    r"measure/attributes/staff-details/staff-type=regular", r"measure/attributes/clef/sign=(G|TAB)",
    r"measure/(direction/)?sound/swing/swing-type=eighth", r"measure/attributes/key/mode=none",
    r"measure/direction/direction-type/metronome@print-object=yes",
]


def is_usual(key, value) -> bool:
    return any(re.fullmatch(one, f"{key}={value}") for one in USUAL)


def is_end_of_range(name) -> bool:
    """Of numbers the ends of their range are shown too; they say nothing that another number does not."""
    return re.fullmatch(r".*=[+-]?\d+(\.\d+)?", name) is not None and "fifths" not in name


# What follows from the rest of a file anyway, and is in the output because of that.
SAID_TWICE = [
    r"measure/note", r"measure/note/(duration|type)", r"measure/note/time-modification(/.*)?",
    r"measure/note/notations/tuplet/tuplet-(actual|normal)/tuplet-number",
    r"measure/note/notations/technical/harmonic/natural", r"measure/attributes/transpose",
    r"measure/attributes/divisions", r"measure/note/staff", r"measure/note/voice", r"measure/attributes/staves",
    r"measure/attributes/staff-details/staff-tuning(@line|/tuning-step)", r"measure/note/rest(@measure)?", r"measure/barline@location",
]

# -- said in other words: what it is, how the output says it, and what shows that it does


def _finds(path, differs=True):
    def check(with_it, without):
        return bool(with_it["root"].xpath(path)) and not (differs and same(with_it, without))

    return check


def _same_music(with_it, without):
    """The output is the same: it says the thing in any case."""
    return same(with_it, without)


def _other_music(with_it, without):
    return not same(with_it, without)


_FIRST = "//measure[1]"
_SOUND = r"measure/(direction/)?sound"

TRANSLATED = [
    (r"measure@text", "the number", _finds("//measure/@number = '7a'")),
    (r"measure/part@id", "the one part", _finds("count(//part) = 1", differs=False)),
    (r"measure/backup(/duration)?", "one voice of strokes", _other_music),
    (r"measure/forward(/duration)?", "a rest", _finds(f"{_FIRST}/note/rest")),
    (r"measure/(forward|direction)/voice|measure/(note/)?voice", "one voice a staff", _finds("//voice = '1'", False)),
    (r"measure/(forward|direction|harmony|note)/staff|measure/attributes/staves|"
     r"measure/attributes/(key|time|staff-details|transpose|clef|measure-style)@number", "the two staves", _finds("//staves = '2'", False)),
    (r"measure/attributes/divisions|measure/(barline|sound|direction/sound)@divisions",
     "the same lengths in divisions as fine as needed", _finds("//divisions", False)),
    (r"measure/attributes/transpose(/chromatic|/octave-change|/diatonic)?", "the pitches as they sound", _other_music),
    (r"measure/attributes/staff-details/staff-tuning", "all five strings", _other_music),
    (r"measure/barline(/segno|/coda|@segno|@coda)", "a direction", _finds("//direction-type/segno | //direction-type/coda")),
    (r"measure/sound@(dacapo|dalsegno|tocoda|fine)(=.*)?", "a direction", _finds("//direction/sound")),
    (r"measure/sound@(segno|coda)", "a direction", _finds("//direction-type/segno | //direction-type/coda")),
    (r"measure/(direction/)?sound@forward-repeat(=.*)?", "`repeat`",
     _finds(f"{_FIRST}/barline/repeat[@direction='forward']")),
    (r"measure/direction/sound@tempo", "a `sound` of its own", _finds("//sound/@tempo = '90'")),
    (r"measure/(direction/)?sound/offset", "the place in the measure", _other_music),
    (r"measure/(direction/|harmony/|sound/)offset@sound=yes", "one place for print and sound", _same_music),
    (r"measure/direction/sound/swing(/.*)?", "a `sound` of its own", _finds("//sound/swing")),
    (r"measure/direction/sound@(segno|dalsegno|coda|tocoda|fine)", "the one sign",
     _finds("//sound[@segno or @dalsegno or @coda or @tocoda or @fine]")),
    (r"measure/note/time-modification/normal-(type|dot)", "the lengths", _finds("//time-modification", False)),
    (r"measure/note/notehead=cross", "`x`", _finds("//notehead = 'x'")),
    (r"measure/note/notations/arpeggiate@number", "one brush a stroke", _finds("//arpeggiate", False)),
    (r"measure/note/tie@type=stop|measure/note/notations/tied@type=stop", "one longer note",
     _finds(f"{_FIRST}/note/type = 'half'")),
    (r"measure/note/lyric@name", "the verse", _finds("//lyric/@number = 'text'")),
    (r"measure/note/lyric/elision", "in the text", _other_music),
    (r"measure/note/notations/dynamics/.*", "a direction", _finds("//direction-type/dynamics/*")),
    (r"measure/note/notations/articulations/detached-legato", "`staccato` and `tenuto`",
     _finds(f"{_FIRST}/note/notations/articulations[staccato and tenuto]")),
    (r"measure/note/notations/slur(@type)?(=(start|stop))?", "`hammer-on`, `pull-off` or `slide`",
     _finds(f"{_FIRST}/note/notations[slide or technical/hammer-on or technical/pull-off]")),
    (r"measure/note/notations/glissando(@type)?(=.*)?", "`slide`", _finds(f"{_FIRST}/note/notations/slide")),
    (r"measure/note/notations/(slur|tied|slide|glissando|tuplet)@number|"
     r"measure/note/notations/technical/(hammer-on|pull-off)@number", "its two ends",
     _finds("count(//*[@type='start']) = count(//*[@type='stop']) and //*[@type='start']", False)),
    (r"measure/direction/direction-type/(damp|damp-all)", "the notes that are stopped",
     _finds("//technical/other-technical = 'damp'")),
    (r"measure/direction/direction-type/metronome/beat-unit-tied(/.*)?", "the sum of the values", _other_music),
    (r"measure/note/notations/technical/open-string", "`fret` 0", _finds(f"{_FIRST}/note[2]//fret = '0'", False)),
    (r"measure/note/notations/technical/harmonic/sounding-pitch", "the pitch", _same_music),
]
