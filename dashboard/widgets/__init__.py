"""Pieces of a page: plain functions that return components or the JSON that a drawing needs."""
