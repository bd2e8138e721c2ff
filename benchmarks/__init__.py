"""How fast lidoff is, each figure a ratio to a floor measured in the same run.

A module here offers ``measure()``, which gives a `Measurement` or a tuple of them. ``python -m benchmarks`` runs them all.
"""
