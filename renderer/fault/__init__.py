"""What a reading of an old wire may mean, by the garden's own record, and where to measure next."""

from renderer.fault.asked import Asked
from renderer.fault.causes import Cause, causes
from renderer.fault.search import Answer, Search, search

__all__ = ["Answer", "Asked", "Cause", "Search", "causes", "search"]
