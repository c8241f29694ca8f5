"""Solvers that know no wells: block elimination on a fixed pattern, scalar roots, step control."""
