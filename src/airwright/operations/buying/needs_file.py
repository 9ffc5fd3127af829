"""What is needed and when: read from a CSV file, or off the plans of jobs."""

from __future__ import annotations

import csv
import datetime as dt
import io
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from airwright.job.findings import Finding, caution, error, hint
from airwright.job.models import Job
from airwright.language import Text, message
from airwright.operations.buying.values import Need
from airwright.operations.goods import Goods
from airwright.plan.values import Plan

COLUMNS: Final = ("item", "shade", "quantity", "due")
MOST_ROWS: Final = 200_000
MOST_FINDINGS: Final = 50
LARGEST_QUANTITY: Final = 10_000_000
BALLOON: Final = "balloon"


@dataclass(frozen=True, slots=True)
class NeedsReading:
    """Needs of a file, and what is wrong with its rows."""

    needs: tuple[Need, ...]
    findings: tuple[Finding, ...]


def read_needs(data: bytes) -> NeedsReading:
    """Read a CSV file with the columns item, shade, quantity, due; each row is one need.

    Commas or semicolons part the cells; further columns are left alone.
    """
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = data[: problem.start].count(b"\n") + 1
        what = message("A character on line {line} is not written in UTF-8.", line=line)
        mend = message("Save the file again with the encoding UTF-8.")
        return NeedsReading((), (error("encoding", "", what, mend).at(line, None),))
    rows = csv.reader(io.StringIO(text.replace("\0", "\ufffd")), delimiter=_delimiter(text))
    heads = [cell.strip().casefold() for cell in next(rows, [])]
    missing = [name for name in COLUMNS if name not in heads]
    if missing:
        what = message("The first line does not name the column {name}.", name=missing[0])
        mend = message("Start the file with: item,shade,quantity,due")
        return NeedsReading((), (error("columns", "", what, mend).at(1, None),))
    return _rows(rows, heads)


def _delimiter(text: str) -> str:
    first = text.split("\n", 1)[0]
    return max(",;\t", key=first.count)


def _rows(rows: Iterator[list[str]], heads: Sequence[str]) -> NeedsReading:
    needs: list[Need] = []
    found: list[Finding] = []
    reader = enumerate(rows, start=2)
    while True:
        try:
            line, cells = next(reader)
        except StopIteration:
            break
        except csv.Error as problem:
            what = message("A row cannot be read: {why}.", why=str(problem))
            found.append(error("row", "", what, message("Check its quotes.")))
            break
        if not any(cell.strip() for cell in cells):
            continue
        row = dict(zip(heads, (cell.strip() for cell in cells), strict=False))
        need = _need(row, line, found)
        if need is not None:
            needs.append(need)
        if line > MOST_ROWS or len(found) >= MOST_FINDINGS:
            what = message("The file was read up to line {line} only.", line=line)
            mend = message("Fix the rows above, or make the file shorter.")
            found.append(error("too-many-rows", "", what, mend).at(line, None))
            break
    if not needs and not found:
        what = message("The file names no needs.")
        found.append(caution("no-needs", "", what, message("Add a row for each need.")))
    return NeedsReading(tuple(needs), tuple(found))


def _need(row: dict[str, str], line: int, found: list[Finding]) -> Need | None:
    """The need of a row; adds to `found` what is wrong with it."""

    def wrong(code: str, what: Text, mend: Text) -> None:
        found.append(error(code, f"row {line}", what, mend).at(line, None))

    item, quantity, due = row.get("item", ""), row.get("quantity", ""), row.get("due", "")
    before = len(found)
    if not item:
        wrong("missing", message("The item is missing."), message("Write what is needed."))
    if not quantity.isdecimal() or not 0 < int(quantity or 0) <= LARGEST_QUANTITY:
        what = message('"{text}" is no number of pieces.', text=quantity[:20])
        wrong("quantity", what, message("Write a whole number above zero."))
    day = None
    try:
        day = dt.date.fromisoformat(due)
    except ValueError:
        what = message('"{text}" is no date.', text=due[:20])
        wrong("date", what, message("Write it as year-month-day: 2027-05-22"))
    if len(found) > before or day is None:
        return None
    return Need(Goods.named(item, row.get("shade", "")), day, int(quantity), row.get("job", ""))


def needed_on(job: Job) -> dt.date:
    """The day the balloons of a job are filled: what is bought must be there by then."""
    access = dt.datetime.combine(job.job.date, dt.time.fromisoformat(job.venue.access))
    return (access - dt.timedelta(hours=job.job.ahead)).date()


def needs_of(plan: Plan, bought: Iterable[str], name: str = "") -> tuple[Need, ...]:
    """What a job needs: its balloons, and what else is used up and sold by somebody.

    Args:
        plan: the job, planned; its spares are counted.
        bought: items that suppliers offer or that lie on the shelf, as `same_name` writes them.
        name: what the job is called; its title by default.
    """
    sold = set(bought)
    due = needed_on(plan.job)
    found = []
    for need in plan.needs:
        goods = Goods.named(need.item, need.shade)
        if need.kind == BALLOON or (need.reuses == 1 and goods.item in sold):
            quantity = math.ceil(need.total - 1e-9)
            found.append(Need(goods, due, quantity, name or plan.job.job.title))
    return tuple(need for need in found if need.quantity > 0)


def less_taken(needs: Iterable[Need], taken: Mapping[Goods, int]) -> tuple[Need, ...]:
    """What a job still needs after it took some of it from the shelf."""
    left = dict(taken)
    found = []
    for need in needs:
        part = min(need.quantity, left.get(need.goods, 0))
        left[need.goods] = left.get(need.goods, 0) - part
        if need.quantity > part:
            found.append(replace(need, quantity=need.quantity - part))
    return tuple(found)


def shade_colours(plan: Plan) -> tuple[tuple[Goods, str], ...]:
    """The job's shades as goods in every size it uses, with their colours."""
    items = {need.item for need in plan.needs if need.kind == BALLOON}
    shades = plan.context.shades
    return tuple(
        (Goods.named(item, name), shades[name].colour)
        for item in sorted(items)
        for name in sorted(plan.job.shades)
        if name in shades
    )


def in_horizon(
    needs: Iterable[Need], today: dt.date, horizon: int | None
) -> tuple[tuple[Need, ...], tuple[Finding, ...]]:
    """Needs that are bought for now; a day that has passed is an error, a far one a hint."""
    kept, found = [], []
    end = None if horizon is None else today + dt.timedelta(days=horizon)
    for need in needs:
        name = f"{need.goods}" if not need.job else f"{need.job}: {need.goods}"
        if need.due < today:
            what = message(
                "{name} is needed on {day}, which has passed.", name=name, day=need.due.isoformat()
            )
            found.append(error("past-day", "", what, message("Check the date, or leave it out.")))
        elif end is not None and need.due > end:
            what = message(
                "{name} is needed on {day}, after the horizon, and is not bought for yet.",
                name=name,
                day=need.due.isoformat(),
            )
            found.append(hint("after-horizon", "", what, message("Choose a longer horizon.")))
        else:
            kept.append(need)
    return tuple(kept), tuple(found)
