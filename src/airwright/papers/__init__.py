"""Documents: a typed model for each, then its rendering.

Adding a document takes one subpackage and one line:

1. `papers/<document>/model.py`: a frozen dataclass that holds everything the page says, as
   plain values (Decimal, float, str, date, tuples of more such classes), and a function that
   reads it off the Plan. No layout in it. `common.document.fingerprint(model)` names its inputs.
2. `papers/<document>/render.py`: turns the model into the template's data (a dict of strings,
   numbers and lists) and calls `common.typeset.typeset("<document>", data, pictures)`. Texts go
   in as data and print literally; nobody pastes a text into markup. Every string of the data is
   cleaned, made breakable and checked for glyphs on the way (`common.words`).
3. `papers/<document>/<document>.typ`: starts with `#import "house.typ": *`, reads
   `json("data.json")` and wraps its body in `#show: sheet.with(data)`. `common/studio.typ` holds
   colours, type sizes, page, footer, tick boxes, swatches, rings and tables.
4. `papers/<document>/__init__.py` offers `make(request) -> tuple[Paper, ...]`.
5. One line in `papers/pack.py` (`DOCUMENTS`).

`common.request.Request` carries the plan, the day, photographs and the pictures already drawn
(`request.pictures`), so that no view is drawn twice in one pack.
"""
