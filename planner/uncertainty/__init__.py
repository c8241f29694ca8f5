"""Ranges of inputs, ensembles of forecasts and what they say."""
