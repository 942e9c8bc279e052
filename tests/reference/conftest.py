"""Puts the pieces of the corpus test's report together when all workers are done."""
import corpus_report


def pytest_sessionstart(session):
    if not hasattr(session.config, "workerinput"):
        corpus_report.clear()


def pytest_sessionfinish(session):
    if not hasattr(session.config, "workerinput"):
        corpus_report.join()
