"""Ratios that tell how fast the renderer is, and how its time grows: ``python -m benchmarks``."""
