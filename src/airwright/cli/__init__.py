"""The command line: thin, one file a family of commands."""

from airwright.cli.app import main

__all__ = ["main"]
