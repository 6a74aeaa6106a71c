"""The command line: it reads, calls and prints; it holds no formula."""

from pitwright.cli.main import main

__all__ = ["main"]
