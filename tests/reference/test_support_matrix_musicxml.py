"""Nothing in a measure of MusicXML is lost in silence: each element, each attribute and each listed value of the
published MusicXML 4.0 schema stands in a file of its own, and is in the output, in other words in the output, or
named by the report.

What counts as which is written down in support_matrix_rules; the files are made by every_element and support_matrix_music.
"""

import every_element
import schema
import support_matrix_judge
import support_matrix_rules
import support_matrix_table


def test_nothing_is_dropped_in_silence():
    silent = [f"{one.name}: {one.how}" for one in support_matrix_table.verdicts() if one.status == "silent"]
    assert silent == []


def test_every_element_and_attribute_of_the_schema_is_shown():
    """Each key has a verdict that says something, or is one of those that only hold others."""
    wanted = {one.name.partition("=")[0] for one in every_element.generate(schema.locate())
              if every_element.inside_measure(one)}
    keys = {support_matrix_table.key_of(name) for name in wanted}
    assert keys == {one.key for one in support_matrix_table.verdicts()}
    assert len(keys) > 2300  # 477 elements in their places and 2025 attributes, less what both kinds of score share
    said = {one.key for one in support_matrix_table.verdicts() if one.status != "nothing"}
    assert keys - said == support_matrix_rules.HOLDERS & keys | NOTHING_BUT_USUAL


# Attributes of which every value means what holds without them.
NOTHING_BUT_USUAL = set()


def test_what_holds_others_holds_something_that_is_carried():
    for holder in support_matrix_rules.HOLDERS:
        inside = [one for one in support_matrix_table.verdicts() if one.key.startswith((holder + "/", holder + "@"))]
        assert inside, holder
        assert {one.status for one in inside} & {"carried", "translated", "layout"}, holder


def test_the_files_are_valid():
    """By the published schema, with and without what they show."""
    for placed in support_matrix_table.examples():
        assert schema.errors(placed.xml) == [], placed.name
        assert schema.errors(placed.without) == [], placed.name


def test_an_element_that_is_dropped_is_found_out(tmp_path):
    """The judge itself: a report that is silent about a wedge is seen."""
    placed = next(one for one in support_matrix_table.examples() if one.name == "measure/direction/direction-type/wedge")
    with_it, without = support_matrix_judge.convert_all(tmp_path, [placed.xml, placed.without])
    assert support_matrix_table.judge(placed, with_it, without).status == "told"
    with_it["told"] = without["told"]
    assert support_matrix_table.judge(placed, with_it, without).status == "silent"
    pitch = next(one for one in support_matrix_table.examples() if one.name == "measure/note/pitch/step=A")
    with_it, without = support_matrix_judge.convert_all(tmp_path / "second", [pitch.xml, pitch.without])
    assert support_matrix_table.judge(pitch, with_it, without).status == "carried"
    with_it["facts"] = without["facts"]
    assert support_matrix_table.judge(pitch, with_it, without).status == "silent"
