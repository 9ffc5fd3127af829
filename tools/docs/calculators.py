"""The calculators page: what each answers, an example with its answer, the curve, how sure."""

from __future__ import annotations

import shlex
from dataclasses import dataclass

from tools.docs.text import generated

INTRO = """# Calculators

Small commands that answer one question each, without a job. Every quantity takes its unit
(`"9.5 in"`, `"24 cm"`, `"66 F"`); what cannot be read or worked out is refused with its cure, never
answered with a number from outside its range. `--json` gives the same answer to programs. A
`studio.toml` in the folder speaks along: your own weighed balloons, your gas, your float times.

The same arithmetic stands behind every plan: ballast, sizes to make, helium, take-down wind and
the findings come from the very functions that answer here and that draw the curves below. How
they compare with published figures is on the [validation page](validation.md); which figures
were chosen, and how sure they are, in [decision 0005](decisions/0005-physics.md).

These answers prepare a decision. **Local rules and licensed people decide.**
"""


@dataclass(frozen=True)
class Question:
    """One command: heading, an example, its curves, what to know."""

    title: str
    example: str
    curves: tuple[tuple[str, str], ...]
    know: str


QUESTIONS = (
    Question(
        "What size will it be there, and what size do I make?",
        'airwright size "11in @ 10.5in" --workshop "19 C" --peak "33 C" --sun --colour "#1f7a7a"',
        (
            ("curve-size", "Diameter of an 11 in balloon against the warmth it meets"),
            ("curve-sun", "Temperature of the gas in full sun against the shade of the balloon"),
        ),
        "A tied balloon keeps its gas; warmth and height make it larger, hardly hindered by its "
        "skin. Sun adds 4 to 30 °C by shade and finish, an estimate good to a third. The limit "
        "protected is the nominal size, less a margin (5 % unless you say otherwise). The size "
        "advised is the next hole of a template below, in half inches.",
    ),
    Question(
        "What does it lift, what gas does it take, how long does it float?",
        'airwright lift "11in @ 10.5in" --count 60 --ribbon "6 ft"',
        (
            ("curve-lift", "Net lift against diameter"),
            ("curve-float", "Float time against how full the balloon is"),
        ),
        "Helium goes out through the film while oxygen and nitrogen come in; the film thickens "
        "as the balloon shrinks. First principles are multiplied by one factor, 1.3, to meet what "
        "the trade quotes, and given as a range of 1.4 either way. Coating inside: 6 to 20 times, "
        "common practice. Note your own hours and enter them as `float_factor` in the studio file.",
    ),
    Question(
        "Does it stand, with how much ballast, and when do I take it in?",
        'airwright wind --height "7 ft" --width "22 in" --mass "6 kg" --base "16 in" '
        '--gust "8 m/s"',
        (("curve-wind", "Ballast against gust for three widths of base"),),
        "Without `--gust` the piece stands indoors: a door's draught and a guest who brushes past "
        "are counted on instead. `airwright wind FILE` tells every standing and hanging piece of a "
        "job, from the outline of its balloons with overlaps counted once. Drag never counts on "
        "the drag crisis. Where sliding decides, a wider base does not help, and the curves meet.",
    ),
    Question(
        "What is in this cylinder, and how many do I need?",
        'airwright cylinder --water "50 L" --reads "120 bar gauge" --for "11in @ 10.5in" '
        "--count 400",
        (("curve-cylinder", "Helium in a 50 L cylinder against its dial"),),
        'A dial reads gauge, zero when open to the air. A bare "200 bar" is refused: say gauge '
        "or absolute. Helium at 200 bar is 10 % less than the ideal gas law promises. 2 bar stay "
        "inside.",
    ),
    Question(
        "What arch does a string of floating balloons make?",
        'airwright string "11in @ 10.5in" --span "6 m" --length "11 m" --count 40 --breeze "2 m/s"',
        (
            ("curve-string", "Arches of four lengths of line over the same span"),
            ("curve-breeze", "Height of the arch in a breeze"),
        ),
        "An inverted catenary: its shape hangs on length and span alone, its pull on the lift. A "
        "breeze lays it over in its own plane. Large balloons stand up better, since lift grows "
        "with the cube and drag with the square of the size; more of the same do not.",
    ),
    Question(
        "Can we breathe if this cylinder empties?",
        'airwright room "9 m3" --cylinder "10 L" --reads "200 bar gauge"',
        (("curve-room", "Oxygen left against the size of the room"),),
        "The worst case pushes air out without mixing. A van is a small room: even the smallest "
        "cylinder takes it below the limit.",
    ),
    Question(
        "How many fill this net, or how large must it be?",
        'airwright fill "9in @ 8in" --count 500',
        (("curve-fill", "Balloons that fill one cubic metre"),),
        "Random packing of equal balls, from loosely poured to shaken down; walls of a narrow net "
        "thin it (`--narrowest`).",
    ),
    Question(
        "How long does it look fresh?",
        'airwright fresh sun --warmth "28 C" --hours "5 h" --ahead "16 h"',
        (("curve-fresh", "Hours until latex looks tired, in a room, in the shade, in the sun"),),
        "All hours are common practice without a source. They halve with every 10 °C, and the "
        "shares used up in the workshop and at the venue add up.",
    ),
)


def render() -> str:
    """The page; answers are those of this version."""
    parts = [generated("the calculators themselves"), INTRO.rstrip()]
    for question in QUESTIONS:
        parts.append(f"## {question.title}")
        parts.append(f"```console\n$ {question.example}\n{answer(question.example)}\n```")
        parts.append(question.know)
        parts += [f"![{words}](pictures/{name}.svg)" for name, words in question.curves]
    return "\n\n".join(parts) + "\n"


def answer(command: str) -> str:
    """What the command prints, as in a pipe 80 columns wide; doubts included."""
    from typer.testing import CliRunner

    from airwright.cli.app import app

    done = CliRunner().invoke(app, shlex.split(command)[1:], env={"COLUMNS": "80"})
    if done.exit_code != 0:
        raise RuntimeError(f"{command}: {done.output}")
    return done.stdout.rstrip()
