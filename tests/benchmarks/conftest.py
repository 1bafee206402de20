"""Times are measured by `python -m tests.benchmarks`; pytest has nothing to collect here."""

collect_ignore_glob = ["*.py"]
