"""Scheduling as such: activities with start tables, links, machines and pools; found, improved and proved.

It knows slots, not houses. `planning` puts parts of a shop's week into its terms for the solver, and searches by itself;
the shortest networks of `makespan` and the population it breeds are for the benchmarks, which give it published ones.
"""
