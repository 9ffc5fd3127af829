"""The commands page, read off the command line's own help."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from typing import Any

from tools.docs.text import code, generated, table

INTRO = """# Commands

Every command explains itself with `--help`. Exit codes: 0 done, 1 the job has errors, 2 the
command was used wrongly.
"""


def render() -> str:
    """The page; a command that changes makes the tracked copy stale."""
    import typer.main

    from airwright.cli.app import app

    root = typer.main.get_command(app)
    parts = [generated("the command line's own help"), INTRO.rstrip()]
    parts += list(sections(root, "airwright"))
    return "\n\n".join(parts) + "\n"


def sections(command: Any, name: str) -> Iterator[str]:
    """One section a command, groups opened."""
    children: dict[str, Any] = getattr(command, "commands", {})
    if not children:
        yield section(command, name)
    for child_name in sorted(children):
        if not children[child_name].hidden:
            yield from sections(children[child_name], f"{name} {child_name}")


def section(command: Any, name: str) -> str:
    """Heading, what it does, how it is written, and what can be set."""
    arguments = [p for p in command.params if p.param_type_name == "argument"]
    options = [p for p in command.params if p.param_type_name == "option" and not hidden(p)]
    written = " ".join(
        [
            name,
            *(
                p.make_metavar_text() if hasattr(p, "make_metavar_text") else argument_text(p)
                for p in arguments
            ),
        ]
    )
    parts = [f"## {name}", f"```\n{written}{' [OPTIONS]' if options else ''}\n```"]
    if command.help:
        parts.append(inspect.cleandoc(command.help).replace("\b\n", ""))
    rows = [(code(argument_text(p)), getattr(p, "help", "") or "", "") for p in arguments]
    rows += [
        (code(", ".join([*p.opts, *p.secondary_opts])), p.help or "", default(p)) for p in options
    ]
    if rows:
        parts.append(table(("", "meaning", "if left out"), rows))
    return "\n\n".join(parts)


def hidden(option: Any) -> bool:
    """Whether an option is left out of the help."""
    return bool(option.hidden) or "--help" in option.opts


def argument_text(argument: Any) -> str:
    """FILE, [FILE] or FILE..."""
    text = (argument.metavar or argument.name).upper().strip("[]")
    text = text if argument.required else f"[{text}]"
    return text + ("..." if argument.nargs == -1 else "")


def default(option: Any) -> str:
    """The default as a reader would write it, empty where there is none."""
    value = option.default
    if option.is_flag or value is None or callable(value) or value == () or value == []:
        return ""
    return code(getattr(value, "value", value))
