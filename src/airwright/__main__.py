"""Lets `python -m airwright` run the command line."""

from airwright.cli import main

main()
