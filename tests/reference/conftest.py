"""Which tests share a worker and which begin, and the report of the corpus test, put together when all workers are
done."""
import corpus_files
import corpus_report
import pytest

# Tests of these files share what takes long to find out: one worker does them all.
TOGETHER = {"test_support_matrix_musicxml": "support matrix", "test_support_matrix_table": "support matrix",
            "test_support_matrix_midi": "kinds of MIDI events", "test_arrange": "arrangements"}
SHARED_FIXTURES = {"advice", "outcomes"}
# What takes long in one piece begins, so that the workers end at about the same time.
FIRST = ["test_support_matrix_musicxml", "test_support_matrix_table", "test_song_takes", "test_check", "test_takes",
         "test_chords", "test_hands_tunes", "test_corpus", "test_grammar"]


def place(item):
    """Where a test comes in the order of all."""
    stem = item.path.stem
    size = corpus_files.size(item.callspec.params["name"]) if stem == "test_corpus" else 0
    return FIRST.index(stem) if stem in FIRST else len(FIRST), -size


def pytest_configure(config):
    config.addinivalue_line("markers", "share: states a share of hundreds of runs through the same code; under sanitizers,"
                            " which are slow, it would say no more, and other tests run through that code, too")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items):
    for item in items:
        group = TOGETHER.get(item.path.stem)
        shared = SHARED_FIXTURES & set(item.fixturenames)
        if shared:
            group = f"{shared.pop()} of {item.path.stem}"
        elif item.path.stem == "test_fiddle_tunes" and hasattr(item, "callspec"):
            group = f"tune {item.callspec.params['tune']}"
        if group:
            item.add_marker(pytest.mark.xdist_group(group))
    items.sort(key=place)


@pytest.hookimpl(trylast=True)
def pytest_collection_finish(session):
    """A group that is not kept together costs its tests' fixtures once for each worker, and nobody would see it."""
    if getattr(session.config.option, "loadgroup", False):
        apart = [item.nodeid for item in session.items
                 if item.get_closest_marker("xdist_group") and "@" not in item.nodeid.rpartition("]")[2]]
        assert not apart, f"groups of tests are not kept on one worker: {apart[:3]}"


def pytest_sessionstart(session):
    if not hasattr(session.config, "workerinput"):
        corpus_report.clear()


def pytest_sessionfinish(session):
    if not hasattr(session.config, "workerinput"):
        corpus_report.join()
