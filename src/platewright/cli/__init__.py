"""The command line: words for people."""

from platewright.cli.main import main

__all__ = ["main"]
