"""Which tests share a worker, and the report of the corpus test, put together when all workers are done."""
import corpus_report
import pytest

# Tests of these files share what takes long to find out: one worker does them all.
TOGETHER = {"test_support_matrix_musicxml": "support matrix", "test_support_matrix_table": "support matrix",
            "test_support_matrix_midi": "kinds of MIDI events"}


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    for item in items:
        group = TOGETHER.get(item.path.stem)
        if "advice" in item.fixturenames:
            group = "advice"
        elif item.path.stem == "test_fiddle_tunes" and hasattr(item, "callspec"):
            group = f"tune {item.callspec.params['tune']}"
        if group:
            item.add_marker(pytest.mark.xdist_group(group))


def pytest_sessionstart(session):
    if not hasattr(session.config, "workerinput"):
        corpus_report.clear()


def pytest_sessionfinish(session):
    if not hasattr(session.config, "workerinput"):
        corpus_report.join()
