"""schemas/support-matrix.md is what the program does."""

import support_matrix_table


def test_the_page_is_up_to_date():
    page = support_matrix_table.PAGE.read_text(encoding="utf-8")
    assert page == support_matrix_table.table(), "run tests/reference/support_matrix_table.py --write"
