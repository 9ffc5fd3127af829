"""A piece as it stands after one of its building steps."""

from __future__ import annotations

from airwright.decor.assembly import Assembly, Step
from airwright.pictures.drawing.draw import Only, draw
from airwright.pictures.drawing.values import Drawing, DrawingError, Options, Sight, View


def draw_step(
    assembly: Assembly,
    step: int,
    view: View | Sight | str = View.CORNER,
    *,
    options: Options | None = None,
) -> Drawing:
    """Draw a piece after step `step` (from 0): new parts in full colour, earlier ones faded.

    Poles, strands and sleeves of the step that earlier parts hide are shown through them as
    dashed lines, as a drawing of something hidden is.

    Raises:
        DrawingError: there is no such step.
    """
    count = len(assembly.steps)
    if not 0 <= step < count:
        many = "no steps" if count == 0 else f"{count} steps, counted from 0 to {count - 1}"
        raise DrawingError(
            f'"{assembly.name}" has {many}; step {step} is not one.', "Choose one it has."
        )
    new = _parts(assembly.steps[step : step + 1])
    earlier = _parts(assembly.steps[:step])
    shown = Only(
        new.balloons | earlier.balloons,
        new.hardware | earlier.hardware,
        new.strands | earlier.strands,
        new.fabrics | earlier.fabrics,
    )
    faded = Only(
        earlier.balloons - new.balloons,
        earlier.hardware - new.hardware,
        earlier.strands - new.strands,
        earlier.fabrics - new.fabrics,
    )
    return draw(assembly, view, options=options, show=shown, faded=faded)


def _parts(steps: tuple[Step, ...]) -> Only:
    return Only(
        frozenset(row for s in steps for row in s.balloons),
        frozenset(row for s in steps for row in s.hardware),
        frozenset(row for s in steps for row in s.strands),
        frozenset(row for s in steps for row in s.fabrics),
    )
