"""Plane geometry that the ground and the paper share; it knows nothing of either."""
