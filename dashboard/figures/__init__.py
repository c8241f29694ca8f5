"""Charts: a forecast in, a figure out; no state, no callbacks."""
