"""Which tests share a worker and which begin, and the report of the corpus test, put together when all workers are
done."""
import corpus_files
import corpus_report
import pytest

# Tests of these files share what takes long to find out: one worker does them all.
TOGETHER = {"test_support_matrix_musicxml": "support matrix", "test_support_matrix_table": "support matrix",
            "test_support_matrix_midi": "kinds of MIDI events"}
# What takes long in one piece begins, so that the workers end at about the same time.
FIRST = ["test_support_matrix_musicxml", "test_support_matrix_table", "test_corpus", "test_check", "test_hands_tunes",
         "test_grammar"]


def place(item):
    """Where a test comes in the order of all."""
    stem = item.path.stem
    size = corpus_files.size(item.callspec.params["name"]) if stem == "test_corpus" else 0
    return FIRST.index(stem) if stem in FIRST else len(FIRST), -size


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
    items.sort(key=place)


def pytest_sessionstart(session):
    if not hasattr(session.config, "workerinput"):
        corpus_report.clear()


def pytest_sessionfinish(session):
    if not hasattr(session.config, "workerinput"):
        corpus_report.join()
