#!/usr/bin/env python3
"""Adds up JUnit reports: a line for each, what failed or was skipped, and the sum.

summary.py [--require-all] [--skipped "SUITE: REASON"]... NAME=REPORT.xml...

Reports of the same name are pieces of one suite. Exit status 1 if anything failed, if a report is missing or empty, or, with --require-all, if anything was
skipped."""
import argparse
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path


def count(report):
    """Names by outcome: passed, failed, skipped."""
    outcome = {"passed": [], "failed": [], "skipped": []}
    for case in ElementTree.parse(report).iter("testcase"):
        name = ".".join(filter(None, (case.get("classname"), case.get("name"))))
        kinds = {child.tag for child in case}
        if kinds & {"failure", "error"}:
            outcome["failed"].append(name)
        elif "skipped" in kinds or case.get("status") in ("notrun", "disabled"):
            outcome["skipped"].append(name)
        else:
            outcome["passed"].append(name)
    return outcome


def main():
    options = argparse.ArgumentParser()
    options.add_argument("--require-all", action="store_true")
    options.add_argument("--skipped", action="append", default=[])
    options.add_argument("reports", nargs="*")
    options = options.parse_args()

    total = {"passed": 0, "failed": 0, "skipped": 0}
    suites = {}
    for item in options.reports:
        name, report = item.split("=", 1)
        outcome = suites.setdefault(name, {kind: [] for kind in total})
        if not Path(report).is_file():
            outcome["failed"].append(f"no report was written: {report}")
            continue
        for kind, names in count(report).items():
            outcome[kind] += names
    for name, outcome in suites.items():
        if not any(outcome.values()):
            print(f"{name}: FAILED, no test ran")
            total["failed"] += 1
        for kind, names in outcome.items():
            total[kind] += len(names)
        print(f"{name}: " + ", ".join(f"{len(names)} {kind}" for kind, names in outcome.items()))
        for kind in ("failed", "skipped"):
            for test in outcome[kind]:
                print(f"    {kind.upper()} {test}")
    for reason in options.skipped:
        print(f"    SKIPPED {reason}")
        total["skipped"] += 1
    print(f"total: {total['passed']} passed, {total['failed']} failed, {total['skipped']} skipped")
    if total["failed"] or (options.require_all and total["skipped"]):
        sys.exit(1)


if __name__ == "__main__":
    main()
