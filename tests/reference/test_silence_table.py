"""The table of what is carried, in README.md, is what the program does."""

import silence_table


def test_the_readme_is_up_to_date():
    assert silence_table.in_readme() == silence_table.table(), "run tests/reference/silence_table.py --write"
