"""The command line: parses words, calls the house, words the outcome.  Nothing else prints or exits."""

from benchlore.cli.main import main

__all__ = ["main"]
