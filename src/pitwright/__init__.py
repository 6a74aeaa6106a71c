"""Pitwright: from a found round vessel and a few stated facts to a whole wood-fired pit, ready to build."""

__version__ = "0.1.0"
