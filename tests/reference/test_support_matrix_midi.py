"""Nothing in a MIDI file is lost in silence: every kind of event of Standard MIDI Files 1.0, every type of meta event
and every controller is in the output, in other words in the output, or named by the report."""

import pytest
import support_matrix_midi


@pytest.mark.parametrize("index", range(len(support_matrix_midi.kinds())), ids=lambda index: str(index))
def test_kind_of_event(index):
    outcome = support_matrix_midi.outcomes()[index]
    told = {slug: text for slug, text in outcome.with_it.told.items() if slug not in outcome.without.told}
    assert outcome.holds, (outcome.kind.name, outcome.kind.status, outcome.kind.how, outcome.with_it.status, told)


def test_every_type_of_event_is_there():
    shown = [event for kind in support_matrix_midi.kinds() for _, event in kind.events]
    assert {event[0] & 0xF0 for event in shown if event[0] < 0xF0} == {0x80, 0x90, 0xA0, 0xB0, 0xC0, 0xD0, 0xE0}
    # The end of the track is in every file.
    assert {event[1] for event in shown if event[0] == 0xFF} | {0x2F} == set(range(0x80))
    assert {event[1] for event in shown if event[0] & 0xF0 == 0xB0} == set(range(0x80))
    assert {0xF0, 0xF7} <= {event[0] for event in shown}
