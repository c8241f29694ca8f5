"""What-if planning for wells that cross several sands: zone split, blank pipe, later packers, water breakthrough."""

__version__ = "0.3.0"
