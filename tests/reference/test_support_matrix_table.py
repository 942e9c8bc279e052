"""The table of what is carried, in README.md, is what the program does."""

import support_matrix_table


def test_the_readme_is_up_to_date():
    assert support_matrix_table.in_readme() == support_matrix_table.table(), "run tests/reference/support_matrix_table.py --write"
