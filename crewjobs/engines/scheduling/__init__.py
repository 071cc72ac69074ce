"""Scheduling as such: activities with start tables, links, machines and pools; found, improved and proved.

It knows slots, not houses. `planning` puts the week of a shop into its terms; the benchmarks give it published
project networks.
"""
