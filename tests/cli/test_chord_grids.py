"""sheet --chord-grids: small pictures of the fingers over the tab."""

import re

from conftest import ROOT

LICK = ROOT / "fixtures" / "lick-slide.musicxml"  # over G, C, D7 and G again


def grid_marks(path):
    return len(re.findall(r'class="[^"]*chord-grid', path.read_text()))


def test_grids_stand_on_request(fifthpeg, tmp_path):
    assert fifthpeg("sheet", LICK, "-o", "plain.svg").status == 0
    result = fifthpeg("sheet", LICK, "--chord-grids", "-o", "grids.svg")
    assert result.status == 0 and "lost" not in result.err
    assert grid_marks(tmp_path / "plain.svg") == 0
    assert grid_marks(tmp_path / "grids.svg") > 0


def test_a_chord_without_a_grid_is_reported(fifthpeg, tmp_path):
    whole = LICK.read_text()
    assert whole.count(">dominant</kind>") == 1
    (tmp_path / "lick.musicxml").write_text(whole.replace(">dominant</kind>", ">dominant-13th</kind>"))
    lost = "lost: a chord has no grid: no shape on this tuning is known (measure 3, beat 1)"
    assert lost not in fifthpeg("sheet", "lick.musicxml", "-o", "plain.pdf").err
    assert lost in fifthpeg("sheet", "lick.musicxml", "--chord-grids", "-o", "grids.pdf").err
