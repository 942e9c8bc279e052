"""Writes music_signs.cpp: python make_music_signs.py [FONT]

FONT is NotoMusic-Regular.ttf of Debian's package fonts-noto-core, where it is not named. Needs fontTools from PyPI
(python -m pip install fonttools) and clang-format-14.
"""
from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

from fontTools.misc.bezierTools import calcCubicBounds
from fontTools.pens.basePen import BasePen
from fontTools.ttLib import TTFont

FONT = "/usr/share/fonts/truetype/noto/NotoMusic-Regular.ttf"

# Measured in the font, in its units. The five lines of U+1D11A lie at 12, 256, 500, 744 and 988.
SPACE = 244
SECOND_LINE, MIDDLE_LINE = 256, 500
FIRST_SPACE = 134  # where heads and accidentals are centered

# The font has sharps, flats and naturals of one cut with an arrow only: the points of the arrow go, and the stem
# ends where the sign is as high above its middle as it is low below.
SHARP_WITHOUT_ARROW = {(195, 509): (195, 519), (154, 509): None, (210, 587): None, (266, 509): None,
                       (226, 509): (226, 519)}
FLAT_WITHOUT_ARROW = {(106, 689): None, (162, 611): None, (50, 611): None}
NATURAL_WITHOUT_ARROW = {(91, 481): (91, 483), (50, 481): None, (106, 559): None, (162, 481): None,
                         (122, 481): (122, 483)}
# Its whole and half rests come with a ledger line.
WHOLE_REST_ALONE = {(50, 488): None, (50, 512): (210, 512), (733, 512): (573, 512), (733, 488): None,
                    (573, 488): None, (210, 488): None}
HALF_REST_ALONE = {(50, 244): (210, 244), (50, 268): None, (210, 268): None, (573, 268): None, (733, 268): None,
                   (733, 244): (573, 244)}


class Sign(NamedTuple):
    code: int
    line: int | None = None  # the height of its origin in the font; None: its foot
    points: dict = {}  # what other points, or None, stand for a point of the font
    one_space_high: bool = False  # drawn smaller than in the font, so that heads a third apart do not overlap
    at_stem: bool = False  # its origin is the font's, and not its left end
    mirrored: bool = False


def head(code):
    return Sign(code, FIRST_SPACE, one_space_high=True)


# In the order of MusicSign.
SIGNS = {
    "whole_rest": Sign(0x1D13B, MIDDLE_LINE, WHOLE_REST_ALONE),
    "half_rest": Sign(0x1D13C, SECOND_LINE, HALF_REST_ALONE),
    "quarter_rest": Sign(0x1D13D, MIDDLE_LINE),
    "eighth_rest": Sign(0x1D13E, MIDDLE_LINE),
    "sixteenth_rest": Sign(0x1D13F, MIDDLE_LINE),
    "thirty_second_rest": Sign(0x1D140, MIDDLE_LINE),
    "sixty_fourth_rest": Sign(0x1D141, MIDDLE_LINE),
    "hundred_twenty_eighth_rest": Sign(0x1D142, MIDDLE_LINE),
    "whole_head": head(0x1D15D),
    "half_head": head(0x1D157),
    "black_head": head(0x1D158),
    "up_flag": Sign(0x1D16E, 1009, at_stem=True),
    "down_flag": Sign(0x1D16E, 1009, at_stem=True, mirrored=True),
    "sharp": Sign(0x1D130, FIRST_SPACE, SHARP_WITHOUT_ARROW),
    "flat": Sign(0x1D12C, FIRST_SPACE, FLAT_WITHOUT_ARROW),
    "natural": Sign(0x1D12E, FIRST_SPACE, NATURAL_WITHOUT_ARROW),
    "double_sharp": Sign(0x1D12A, FIRST_SPACE),
    "double_flat": Sign(0x1D12B, FIRST_SPACE),
    "g_clef": Sign(0x1D11E, SECOND_LINE),
    "common_time": Sign(0x1D134),
    "cut_time": Sign(0x1D135),
    "segno": Sign(0x1D10B),
    "coda": Sign(0x1D10C),
    "fermata": Sign(0x1D110),
}


class Segments(BasePen):
    """What is drawn, as (letter, points) with cubic curves; fontTools raises the quadratic ones."""

    def __init__(self, glyphs):
        super().__init__(glyphs)
        self.drawn = []

    def _moveTo(self, point):
        self.drawn.append(("M", [point]))

    def _lineTo(self, point):
        self.drawn.append(("L", [point]))

    def _curveToOne(self, *points):
        self.drawn.append(("C", list(points)))

    def _closePath(self):
        self.drawn.append(("Z", []))


def replaced(drawn, points):
    """With a contour's start moved on where its own point goes."""
    result, moving = [], False
    for letter, (*controls, end) in ((letter, places or [None]) for letter, places in drawn):
        to = points.get(end, end)
        if letter == "Z":
            result.append(("Z", []))
        elif to is None:
            moving = moving or letter == "M"
        else:
            result.append(("M", [to]) if moving else (letter, [*controls, to]))
            moving = False
    return result


def bounds(drawn):
    corners, at = [], None
    for letter, points in drawn:
        if letter == "C":
            left, top, right, bottom = calcCubicBounds(at, *points)
            corners += [(left, top), (right, bottom)]
        corners += points[-1:]
        at = points[-1] if points else at
    across, down = zip(*corners)
    return min(across), min(down), max(across), max(down)


def outline(font, sign):
    """The segments in staff spaces, y downwards."""
    pen = Segments(font.getGlyphSet())
    pen.glyphSet[font.getBestCmap()[sign.code]].draw(pen)
    drawn = replaced(pen.drawn, sign.points)
    left, foot, _, top = bounds(drawn)
    unit = top - foot if sign.one_space_high else SPACE
    x0 = 0 if sign.at_stem else left
    y0 = (top + foot) / 2 if sign.one_space_high else foot if sign.line is None else sign.line
    down = 1 if sign.mirrored else -1
    return [(letter, [(round((x - x0) / unit, 3), round(down * (y - y0) / unit, 3)) for x, y in points])
            for letter, points in drawn]


def number(value):
    return f"{value + 0.0:.3f}".rstrip("0").rstrip(".")  # + 0.0, so that there is no -0


def entry(name, drawn):
    words = [word for letter, points in drawn for word in (letter, *(f"{number(x)} {number(y)}" for x, y in points))]
    lines, line = [], ""
    for word in words:
        if len(line) + len(word) > 96:
            lines.append(line)
            line = ""
        line += word + " "
    lines.append(line.rstrip())
    text = "\n".join(f'"{line}"' for line in lines)
    return f"// {name}\nSignOutline{{{text}, {', '.join(number(value) for value in bounds(drawn))}}},\n"


def main(path):
    font = TTFont(path)
    copyright_line = font["name"].getDebugName(0)
    version = font["name"].getDebugName(5)
    source = f"""\
// Made by make_music_signs.py; not to be changed by hand.
//
// The outlines are derived from the font Noto Music, {version.lower()}.
// {copyright_line}
// This file is licensed under the SIL Open Font License, Version 1.1, which stands in LICENSE.
#include "formats/sheet/music_signs.hpp"

#include <array>
#include <cstddef>

namespace fifthpeg::sheet {{

namespace {{

constexpr std::array<SignOutline, static_cast<std::size_t>(MusicSign::count)> sign_outlines{{{{
{"".join(entry(name, outline(font, sign)) for name, sign in SIGNS.items())}}}}};

}}  // namespace

const SignOutline& outline_of(MusicSign sign) {{ return sign_outlines[static_cast<std::size_t>(sign)]; }}

}}  // namespace fifthpeg::sheet
"""
    target = Path(__file__).with_name("music_signs.cpp")
    formatted = subprocess.run(["clang-format-14", f"--assume-filename={target}"], input=source, text=True,
                               capture_output=True, check=True)
    target.write_text(formatted.stdout)


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else FONT)
