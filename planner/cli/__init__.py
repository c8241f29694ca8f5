"""The command line: blankwise VERB CASE. `entry` runs a verb, `grammar` holds what verbs share, the rest groups."""

from planner.cli.entry import main, parser

__all__ = ["main", "parser"]
