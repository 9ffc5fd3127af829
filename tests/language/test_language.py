"""Sentences as values: English as written, other languages from the books, nothing lost."""

from __future__ import annotations

import pickle
import re
from copy import deepcopy
from decimal import Decimal
from importlib.resources import files

import pytest
from babel.core import Locale
from babel.messages.pofile import read_po
from hypothesis import given
from hypothesis import strategies as st

from airwright.language import (
    LANGUAGES,
    PSEUDO,
    Text,
    counted,
    current_language,
    listing,
    message,
    say,
    say_all,
    sentences,
    speaking,
)
from airwright.language import catalogs as books
from airwright.language.figures import said_hours, said_share
from airwright.language.spelling import british
from airwright.units import LENGTH, System, show


@pytest.mark.parametrize(
    ("language", "foreign"),
    [("de", r"[ñ¿¡áíóú]|ción\b"), ("es", r"[ßäö]|\b(der|die|und|nicht)\b")],
)
def test_no_translation_stands_in_the_wrong_book(language: str, foreign: str) -> None:
    """Letters that German (Duden) or Spanish (RAE) does not write."""
    file = files("airwright.language").joinpath("translations", f"{language}.po")
    with file.open("rb") as source:
        told = [str(entry.string) for entry in read_po(source) if entry.id]
    assert len(told) > 1000
    assert [words for words in told if re.search(foreign, words)] == []


def test_a_sentence_is_its_english() -> None:
    made = message("{name} needs {count} bases.", name="Swirl column", count=1200)
    assert made == "Swirl column needs 1,200 bases."
    assert isinstance(made, str)
    assert made.message == "{name} needs {count} bases."


def test_what_people_typed_is_never_read_as_a_form() -> None:
    made = message("Name: {name}", name="{count} {0} {{")
    assert made == "Name: {count} {0} {{"
    assert say(made) == made


def test_a_value_that_is_missing_is_a_fault_of_ours() -> None:
    with pytest.raises(KeyError):
        message("{name}")


def test_plurals_follow_the_count() -> None:
    assert [counted("{n} balloon", "{n} balloons", n) for n in (0, 1, 2)] == [
        "0 balloons", "1 balloon", "2 balloons",
    ]  # fmt: skip


def test_british_spelling_changes_our_words_only() -> None:
    made = message("The color of {name} is gray; Labor costs extra.", name="Gray Harbor")
    with speaking("en-GB"):
        assert say(made) == "The colour of Gray Harbor is grey; Labour costs extra."
    assert say(made) == made


def test_quantities_take_the_signs_of_the_language() -> None:
    made = message("{height} tall, {price} in all", height=show(1.25, LENGTH, System.METRIC),
                price=Decimal("1234.50"))  # fmt: skip
    assert say(made) == "1.25 m tall, 1,234.50 in all"
    with speaking("de"):
        signs = Locale("de").number_symbols["latn"]
        assert (signs["decimal"], signs["group"]) == (",", ".")  # CLDR, through Babel
        assert "1,25 m" in say(made)
        assert "1.234,50" in say(made)


@pytest.mark.parametrize(
    ("language", "whole", "parts"),
    [("en-US", "19%", "8.25%"), ("de", "19\xa0%", "8,25\xa0%"), ("es", "19\xa0%", "8,25\xa0%")],
)
def test_a_share_has_the_digits_it_needs_and_its_languages_space(
    language: str, whole: str, parts: str
) -> None:
    """CLDR: percent is "#,##0%" in English, "#,##0 %" with a fixed space in German and Spanish."""
    with speaking(language):
        assert said_share(Decimal("0.19")) == whole
        assert said_share(Decimal("0.190")) == whole
        assert said_share(Decimal("0.0825")) == parts
        assert said_share(Decimal("0.6")).startswith("60")


def test_hours_are_told_in_steps_and_never_as_nothing() -> None:
    told = [say(said_hours(hours)) for hours in (0.0, 0.001, 0.75, 2.0, 2.0833)]
    assert told == ["0 min", "1 min", "45 min", "2 h", "2 h 5 min"]
    assert [say(said_hours(hours, 15)) for hours in (0.01, 0.4, 1.1)] == ["15 min", "30 min", "1 h"]


def test_spelling_keeps_capitals() -> None:
    assert british("COLOR of the harbor: Gray") == "COLOUR of the harbour: Grey"


def test_a_language_without_a_sentence_falls_back_to_english() -> None:
    with speaking("es"):
        assert say(message("This sentence is in no book.")) == "This sentence is in no book."
    with speaking("xx-nonsense"):
        assert current_language() == "en-US"


def test_a_book_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    class Book:
        def gettext(self, message: str) -> str:
            return {"Two {what}": "Zwei {what}", "pins": "Nadeln"}.get(message, message)

        def ngettext(self, one: str, many: str, n: int) -> str:
            return {"{n} pin": "{n} Nadel"}.get(one, one) if n == 1 else "{n} Nadeln"

    monkeypatch.setattr("airwright.language.saying.catalogue", lambda _: Book())
    with speaking("de"):
        assert say(message("Two {what}", what=message("pins"))) == "Zwei Nadeln"
        assert say(counted("{n} pin", "{n} pins", 1)) == "1 Nadel"
        assert say_all({"rows": [message("Two {what}", what="x"), 3]}) == {"rows": ["Zwei x", 3]}


def test_pseudo_language_keeps_values_and_grows() -> None:
    made = message("Tie {count} quads to {name}.", count=3, name="Pole A")
    with speaking(PSEUDO):
        said = say(made)
    assert "Pole A" in said
    assert "3" in said
    assert len(said) > len(made) * 1.3
    assert said.startswith("⟦")
    assert said.endswith("⟧")


def test_joined_sentences_stay_translatable() -> None:
    made = sentences(message("One."), "", message("Two."))
    assert made == "One. Two."
    with speaking(PSEUDO):
        assert say(made).count("⟦") == 2


@given(st.lists(st.text(min_size=1, max_size=8), min_size=1, max_size=6))
def test_listing_names_everything_once(parts: list[str]) -> None:
    made = listing(parts)
    expected = parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1]
    assert made == expected
    assert say(made) == expected


def test_texts_travel_between_processes() -> None:
    made = message("{n} of {name}", n=2, name=message("them"))
    for copied in (pickle.loads(pickle.dumps(made)), deepcopy(made)):
        assert isinstance(copied, Text)
        assert copied == made
        assert copied.message == made.message


def test_every_language_has_a_name_and_a_locale() -> None:
    for tag in LANGUAGES:
        assert Locale.parse(tag.replace("-", "_")).language == tag.split("-")[0]
    assert set(books.BOOKS) <= set(LANGUAGES)


def test_spelling_keeps_places_and_reaches_words_in_brackets() -> None:
    from airwright.language.spelling import british

    assert british("(color) %(color)s {color} Color") == "(colour) %(color)s {color} Colour"
