"""Frozen records of the case, of what-if changes and of results; no numerics, no files."""
