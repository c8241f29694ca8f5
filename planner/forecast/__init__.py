"""Marching in time: steps, controls, events, records of what came out."""
