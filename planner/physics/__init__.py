"""Physics of fluids, rock, pipe and inflow: pure functions, one subject a file.

Everything is SI in and out, vectorised over numpy arrays in double precision, without state and without files.
Each published method names its source in the docstring and has a card with its range in planner.base.cards.
Import from the subject's own file; nothing is gathered here.
"""
