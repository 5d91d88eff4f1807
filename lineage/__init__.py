"""Design revisions of small competition robots."""

__version__ = "0.1.0"
