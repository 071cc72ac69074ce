"""Figures, printed and never asserted: each module runs with ``python -m tests.benchmarks.NAME``."""
