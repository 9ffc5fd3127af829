"""Making changes in a job file's text, with everything else in it, comments too, left alone."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT

from airwright.decor.kinds import PaintError, negated
from airwright.decor.pieces import KINDS
from airwright.desk.editing.edits import (
    Add,
    AnyChange,
    Clear,
    Drop,
    Duplicate,
    EditError,
    Mirror,
    Paint,
    Put,
    RenameShade,
    Reorder,
    Swap,
    Write,
)
from airwright.desk.editing.sections import section_of
from airwright.desk.editing.shade_names import PARTS, shade_keys, shades_named, swap_in, with_parts
from airwright.desk.editing.tables import document_of
from airwright.language import message

DATES = ("date", "ordered")
"""Keys that hold a day."""
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")

DesignText = Callable[[str], str]
"""The TOML of a saved design by its key; raises when there is none."""


def apply(text: str, changes: list[AnyChange], design: DesignText | None = None) -> tuple[str, str]:
    """A job file with changes made in it.

    Args:
        text: the job file.
        changes: in order; indices count pieces as they stand when each change is made.
        design: looks up saved designs, for `Add`.

    Returns:
        The new text, and what was changed in a few words, for the undo button.

    Raises:
        EditError: a change names something that is not there, or the text is no TOML.
    """
    part = section_of(text, changes)
    if part is not None:
        written, label = _applied(text[part.start : part.end], part.changes, design)
        whole = part.put_back(text, written)
        if whole is not None:
            return whole, label
    return _applied(text, changes, design)


def _applied(
    text: str, changes: list[AnyChange], design: DesignText | None = None
) -> tuple[str, str]:
    """As `apply`, for a text that is parsed and written whole."""
    document = document_of(text)
    label = ""
    for change in changes:
        said = _apply_one(document, change, design)
        label = label or said
    if len(changes) > 1:
        label = message("{label} and more", label=label)
    try:
        written = tomlkit.dumps(document)
        written.encode()
        tomlkit.parse(written)
    except (TOMLKitError, UnicodeError, AttributeError, TypeError, ValueError) as problem:
        raise EditError(
            message("This change would break the job file."), message("Make it under File by hand.")
        ) from problem
    return written, label


def _apply_one(document: Any, change: AnyChange, design: DesignText | None) -> str:
    try:
        if isinstance(change, Put):
            return _put(document, change)
        if isinstance(change, Clear):
            return _clear(document, change)
        if isinstance(change, Swap):
            return _swap(document, change)
        if isinstance(change, RenameShade):
            return _rename_shade(document, change)
        if isinstance(change, Add):
            return _add(document, change, design)
        if isinstance(change, Write):
            raise EditError(message("A typed value was not read."), message("Load the page again."))
        return _on_piece(document, change)
    except (KeyError, IndexError, TypeError, AttributeError, TOMLKitError) as problem:
        raise EditError(
            message("What this change is about is not there any more."),
            message("Look again, then change it."),
        ) from problem
    except ValueError as problem:
        if isinstance(problem, EditError):
            raise
        raise EditError(
            message("This value cannot be written into a job file."), message("Type it anew.")
        ) from problem


# ---- single values ----------------------------------------------------------------------------


def _put(document: Any, change: Put) -> str:
    *way, last = change.path
    where = document
    for at, step in enumerate(way):
        where = _step_into(where, step, ahead=change.path[at + 1])
    value = toml_value(change.value, last)
    if isinstance(where, AoT):
        raise EditError(
            message("A whole piece is not written at once."), message("Change its keys one by one.")
        )
    if isinstance(where, list) and isinstance(last, int) and last == len(where):
        where.append(value)
    else:
        _renamed(document, change.path, where, value)
        where[last] = value
    if change.path[0] == "pieces" and isinstance(change.value, dict):
        _bring_shades(document, change.value, None)
    return f"{_called(document, change.path)}{_words(last)}"


def _step_into(where: Any, step: str | int, ahead: str | int) -> Any:
    if isinstance(step, int):
        if not isinstance(where, list) or not 0 <= step < len(where):
            raise EditError(
                message("This piece is not there any more."), message("Pick another piece.")
            )
        return where[step]
    if step not in where:
        if isinstance(ahead, int):
            if ahead != 0:
                raise KeyError(step)
            where[step] = tomlkit.array()  # the first of a list
            return where[step]
        top = where is not None and step in ("job", "venue", "shades")
        where[step] = tomlkit.table() if top else tomlkit.inline_table()
    return where[step]


def _renamed(document: Any, path: list[str | int], where: Any, value: Any) -> None:
    """A piece's new name goes into the options that offer it."""
    if not (len(path) == 3 and path[0] == "pieces" and path[2] == "name"):
        return
    old = where.get("name")
    for option in document.get("options", []):
        names = option.get("pieces", [])
        for at, name in enumerate(names):
            if name == old:
                names[at] = value
        counts = option.get("counts", {})
        if old in counts:
            counts[value] = counts.pop(old)


def toml_value(value: Any, key: str | int) -> Any:
    """A JSON value as TOML; a day written as text becomes a date under `date`."""
    if value is None:
        raise EditError(message("Nothing was written."), message("Clear the key instead."))
    if key in DATES and isinstance(value, str) and _DATE.fullmatch(value):
        try:
            return dt.date.fromisoformat(value)
        except ValueError:
            return value
    if isinstance(value, dict):
        table = tomlkit.inline_table()
        for name, inner in value.items():
            if inner is not None:
                table[name] = toml_value(inner, name)
        return table
    if isinstance(value, list):
        array = tomlkit.array()
        for inner in value:
            array.append(toml_value(inner, ""))
        if len(str(array.as_string())) > 100:
            array.multiline(True)
        return array
    if isinstance(value, int) and not isinstance(value, bool) and abs(value) > 2**53:
        raise EditError(message("This number is too large."), message("Use a smaller one."))
    return value


def _clear(document: Any, change: Clear) -> str:
    *way, last = change.path
    where = document
    for step in way:
        where = where[step]
    said = message(
        "{document}{last} taken out", document=_called(document, change.path), last=_words(last)
    )
    del where[last]
    return said


def _called(document: Any, path: list[str | int]) -> str:
    if path[0] == "pieces" and len(path) > 1 and isinstance(path[1], int):
        try:
            return f"{str(document['pieces'][path[1]].get('name', 'Piece'))[:80]}: "
        except (KeyError, IndexError, AttributeError):
            return ""
    if len(path) > 1 and path[0] in ("venue", "shades"):
        return f"{path[0]}: "
    return ""


def _words(key: str | int) -> str:
    return f"line {key + 1}" if isinstance(key, int) else key.replace("_", " ")[:60]


# ---- whole pieces -----------------------------------------------------------------------------


def _on_piece(document: Any, change: Duplicate | Mirror | Drop | Reorder | Paint) -> str:
    pieces = document["pieces"]
    piece = pieces[change.piece]
    name = str(piece.get("name", "Piece"))
    if isinstance(change, Duplicate):
        copy = copied_table(piece)
        copy["name"] = fresh_name(document, name)
        _move_aside(copy)
        pieces.insert(change.piece + 1, copy)
        _offer_beside(document, name, copy["name"])
        return message("{name} duplicated", name=name)
    if isinstance(change, Mirror):
        _mirror(piece)
        return message("{name} mirrored", name=name)
    if isinstance(change, Drop):
        del pieces[change.piece]
        _offer_no_more(document, name)
        if len(pieces) == 0:
            del document["pieces"]
        return message("{name} taken out", name=name)
    if isinstance(change, Reorder):
        if change.to >= len(pieces):
            raise IndexError(change.to)
        copy = copied_table(piece)
        del pieces[change.piece]
        pieces.insert(change.to, copy)
        return message("{name} moved in the list", name=name)
    _paint(piece, change.rows)
    return message("{name} painted", name=name)


def _paint(piece: Any, rows: Sequence[Sequence[str]]) -> None:
    """The keys that a piece's kind writes for painted rows. Raises EditError."""
    kind = KINDS.get(str(piece.get("kind")))
    if kind is None:
        raise EditError(
            message("A piece of no known kind cannot be painted."),
            message("Choose its kind first."),
        )
    if not kind.has_chart:
        raise EditError(
            message("A piece of this kind has no chart."),
            message("Choose its shades beside the picture."),
        )
    try:
        keys = kind.painted(piece.unwrap(), rows)
    except PaintError as problem:
        raise EditError(problem.what, problem.mend) from problem
    for key, value in keys.items():
        piece[key] = toml_value(value, key)
        if isinstance(value, list):
            piece[key].multiline(True)


def _add(document: Any, change: Add, design: DesignText | None) -> str:
    if change.kind not in KINDS:
        raise EditError(
            message('There is no kind of piece "{kind}".', kind=change.kind),
            message("Pick one of the list."),
        )
    if change.design is None:
        source = tomlkit.parse(KINDS[change.kind].example)
    elif design is not None:
        source = tomlkit.parse(design(change.design))
    else:
        raise KeyError(change.design)
    given = source.pop("shades_used", None)
    piece = tomlkit.table()
    for key, value in source.items():
        piece[key] = value
    piece["name"] = fresh_name(document, str(source.get("name", change.kind.capitalize())))
    _bring_shades(document, source, given)
    if "pieces" not in document:
        document["pieces"] = tomlkit.aot()
    document["pieces"].append(piece)
    return f"{piece['name']} added"


def _bring_shades(document: Any, piece: Mapping[str, Any], given: Any) -> None:
    """Shades a new piece names but the job does not have yet."""
    colours = dict(given) if given else {}
    if "shades" not in document:
        document["shades"] = tomlkit.table()
    for name in sorted(with_parts(shades_named(piece), colours)):
        if name not in document["shades"]:
            fallback = STARTING_SHADES[len(document["shades"]) % len(STARTING_SHADES)]
            document["shades"][name] = colours.get(name, KNOWN_SHADES.get(name, fallback))


KNOWN_SHADES = {"coral": "#f0705a", "sand": "#e8d5b7", "teal": "#1f7a7a", "white": "#f7f5f0"}
"""The colours that the kinds' examples mean by the names they use."""

STARTING_SHADES = ("#f0705a", "#e8d5b7", "#1f7a7a", "#f7f5f0", "#8c6bb1", "#f2b134")


def _swap(document: Any, change: Swap) -> str:
    known = document.get("shades", {})
    if not any(change.old in shades_named(piece) for piece in document.get("pieces", [])):
        raise EditError(
            message('No piece uses "{old}".', old=change.old),
            message("Pick a shade that is in use."),
        )
    if change.new not in known and not change.new.strip():
        raise EditError(message("The new shade has no name."), message("Name it."))
    for piece in document.get("pieces", []):
        swap_in(piece, change.old, change.new, shade_keys(piece))
    return message("{new} in place of {old}", new=change.new, old=change.old)


def _rename_shade(document: Any, change: RenameShade) -> str:
    shades, new = document["shades"], change.new.strip()
    if change.old not in shades:
        raise EditError(
            message('There is no shade "{old}".', old=change.old), message("Pick one of the list.")
        )
    if not new or new in shades:
        raise EditError(
            message('"{new}" is a shade already.', new=new)
            if new
            else message("The shade has no name."),
            message("Write another name; Swap puts one shade in place of another."),
        )
    held = [(key, shades[key].unwrap()) for key in list(shades)]
    for key, _ in held:
        del shades[key]
    for key, value in held:
        shades[new if key == change.old else key] = toml_value(value, "")
        for part in PARTS:
            if isinstance(value, dict) and value.get(part) == change.old:
                shades[new if key == change.old else key][part] = new
    for piece in document.get("pieces", []):
        swap_in(piece, change.old, new, shade_keys(piece))
    return message("{old} is called {new}", old=change.old, new=new)


def _mirror(piece: Any) -> None:
    """What right and left mean in a piece's keys."""
    kind = KINDS.get(str(piece.get("kind")))
    for name, value in kind.mirrored(piece.unwrap()).items() if kind is not None else ():
        piece[name] = toml_value(value, name)
        if name in ("chart", "picture"):
            piece[name].multiline(True)
    _mirror_sides(piece)
    if "spot" in piece:
        for key in ("x", "facing"):
            if key in piece["spot"]:
                piece["spot"][key] = negated(piece["spot"][key])


def _mirror_sides(table: Any) -> None:
    sides = {"left": "right", "right": "left"}
    for key in list(table):
        value = table[key]
        if isinstance(value, str) and key not in ("name", "note", "mark") and value in sides:
            table[key] = sides[value]
        elif isinstance(value, Mapping) and key != "shades":
            _mirror_sides(value)


def copied_table(piece: Any) -> Any:
    """The same table once more, comments behind its values too."""
    copy = tomlkit.table()
    for key, value in piece.value.body if hasattr(piece.value, "body") else piece.items():
        if key is not None:
            copy[key.key if hasattr(key, "key") else key] = tomlkit.item(value.unwrap())
            if hasattr(value, "trivia"):
                copy[key.key if hasattr(key, "key") else key].trivia.comment = value.trivia.comment
                copy[
                    key.key if hasattr(key, "key") else key
                ].trivia.comment_ws = value.trivia.comment_ws
    return copy


def _move_aside(piece: Any) -> None:
    """A duplicate stands beside its original, not in it."""
    spot = piece.get("spot")
    if isinstance(spot, Mapping) and isinstance(spot.get("x"), str):
        from airwright import units

        try:
            x = units.parse(spot["x"], units.LENGTH)
        except units.UnitError:
            return
        spot["x"] = units.write(round(x + 1.0, 3), units.LENGTH)  # type: ignore[index]


def fresh_name(document: Any, wanted: str) -> str:
    """A name no piece of the job has yet."""
    taken = {str(piece.get("name")) for piece in document.get("pieces", [])}
    stem = re.sub(r" \d+$", "", wanted)[:110]
    if wanted not in taken:
        return wanted
    return next(f"{stem} {n}" for n in range(2, 10_000) if f"{stem} {n}" not in taken)


def _offer_beside(document: Any, name: str, copy: str) -> None:
    for option in document.get("options", []):
        if name in option.get("pieces", []):
            option["pieces"].append(copy)
            if name in option.get("counts", {}):
                option["counts"][copy] = option["counts"][name]


def _offer_no_more(document: Any, name: str) -> None:
    options = document.get("options", [])
    for at in reversed(range(len(options))):
        names = options[at].get("pieces", [])
        for place in reversed(range(len(names))):
            if names[place] == name:
                del names[place]
        counts = options[at].get("counts", {})
        if name in counts:
            del counts[name]
            if len(counts) == 0:
                del options[at]["counts"]
        if len(names) == 0:
            del options[at]
    if "options" in document and len(options) == 0:
        del document["options"]
