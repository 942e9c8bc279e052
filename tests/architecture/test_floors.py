"""No #include runs up, sideways or into another part's private header; DEVELOPERS.md draws the same floors."""
import re
import shutil

import floors
import pytest


def test_every_include_keeps_to_the_floors():
    assert floors.faults() == []


@pytest.fixture
def copy(tmp_path):
    """A copy of the sources with one more file in it."""
    for folder in ("include", "src"):
        shutil.copytree(floors.ROOT / folder, tmp_path / folder)

    def plant(path, target):
        (tmp_path / path).write_text(f'#pragma once\n#include "{target}"\n')
        return floors.faults(tmp_path)

    return plant


@pytest.mark.parametrize("path, target, wrong", [
    ("src/score/planted.hpp", "hands/search.hpp", "upward"),
    ("src/base/planted.cpp", "score/any.hpp", "upward"),
    ("src/check/planted.cpp", "cli/status.hpp", "upward"),
    ("src/formats/midi/planted.hpp", "formats/midi/reader/parts.hpp", "upward"),
    ("src/engraving/planted.cpp", "performance/clock.hpp", "sideways"),
    ("src/hands/planted.cpp", "engraving/beam.hpp", "sideways"),
    ("src/formats/midi/planted.cpp", "formats/musicxml/values.hpp", "sideways"),
    ("src/formats/midi/reader/planted.cpp", "formats/musicxml/values.hpp", "sideways"),
    ("src/formats/musicxml/reader/planted.cpp", "formats/musicxml/writer/xml_writer.hpp", "sideways"),
    ("src/formats/musicxml/writer/planted.cpp", "formats/musicxml/reader/head.hpp", "sideways"),
    ("src/formats/musicxml/writer/planted.cpp", "formats/musicxml/grammar/run.hpp", "sideways"),
    ("src/formats/text_tab/writer/planted.cpp", "formats/musicxml/writer/xml_writer.hpp", "sideways"),
    ("src/formats/planted.cpp", "formats/midi/reader/parts.hpp", "private to formats/midi"),
    ("src/check/planted.cpp", "formats/musicxml/reader/head.hpp", "private to formats/musicxml"),
    ("src/check/planted.cpp", "formats/musicxml/grammar/run.hpp", "private to formats/musicxml"),
    ("src/score/planted.cpp", "planted.hpp", "in no room"),
    ("include/fifthpeg/planted.hpp", "score/any.hpp", "not public"),
])
def test_a_planted_arrow_is_found(copy, path, target, wrong):
    assert copy(path, target) == [f"{path} includes {target}: {wrong}"]


@pytest.mark.parametrize("path, target", [
    ("src/base/planted.hpp", "fifthpeg/errors.hpp"),
    ("src/cli/planted.cpp", "version.hpp"),
    ("src/cli/planted.cpp", "formats/musicxml/values.hpp"),
    ("src/check/planted.cpp", "hands/model.hpp"),
    ("src/formats/midi/reader/planted.cpp", "formats/midi/scan.hpp"),
    ("src/formats/musicxml/writer/planted.hpp", "engraving/beam.hpp"),
    ("src/hands/planted.cpp", "hands/search.hpp"),
    ("include/fifthpeg/planted.hpp", "fifthpeg/score.hpp"),
])
def test_an_arrow_down_is_none(copy, path, target):
    assert copy(path, target) == []


def test_a_file_outside_the_rooms_is_found(copy):
    assert copy("src/planted.cpp", "fifthpeg/score.hpp") == ["src/planted.cpp: in no room"]


def test_developers_md_draws_the_same_floors():
    text = (floors.ROOT / "DEVELOPERS.md").read_text()
    drawn, = re.findall(r"<!-- floors -->\n\n((?: {4}.*\n)+)\n<!-- /floors -->", text)
    assert re.sub("^ {4}", "", drawn, flags=re.MULTILINE) == floors.TABLE.read_text()
