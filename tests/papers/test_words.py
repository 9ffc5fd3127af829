"""Texts made fit for paper."""

from __future__ import annotations

import datetime as dt
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.catalog import FONT_FOLDER
from airwright.language.saying import say, speaking
from airwright.papers.common.coverage import ALWAYS, _ranges, missing
from airwright.papers.common.document import fingerprint
from airwright.papers.common.fonts import TEXT, fonts
from airwright.papers.common.names import file_stems
from airwright.papers.common.parts import long_date
from airwright.papers.common.trade_words import item_word, number, size_word
from airwright.papers.common.words import (
    BREAK,
    LONGEST_RUN,
    at_least_shown,
    distance,
    fit,
    listed,
    shortened,
)
from airwright.units import MASS, System
from tests.papers.plans import ARABIC, CJK, HEBREW, HINDI, THAI


def test_small_quantities_have_the_readers_decimal_sign() -> None:
    """CLDR: German writes a decimal comma."""
    with speaking("de"):
        assert say(at_least_shown(0.01, MASS, System.METRIC)) == "< 0,1 kg"
        assert number(0.13) == "0,13"


def test_foils_are_named_in_words() -> None:
    assert str(item_word("18in foil round")) == "18in foil, round"
    assert str(item_word("34in foil 4")) == "34in foil 4"
    with speaking("de"):
        assert say(size_word("18in foil round")) == "18in Folie, rund"


def test_all_families_named_are_bundled() -> None:
    assert {*TEXT, "Fraunces"} <= set(fonts().families())
    assert all(font.path and str(FONT_FOLDER) in font.path for font in fonts().fonts())


@pytest.mark.parametrize("text", [ARABIC, CJK, HEBREW, HINDI, THAI, "Ελληνικά Русский Tiếng Việt"])
def test_names_of_many_scripts_are_printable(text: str) -> None:
    assert missing(text) == ()


def test_characters_without_a_glyph_are_found_in_order() -> None:
    assert missing("a\U00013000b\U0001f388\U00012000") == ("\U00013000", "\U00012000")


@pytest.mark.parametrize("path", sorted(FONT_FOLDER.glob("*.[ot]tf")), ids=lambda path: path.stem)
def test_coverage_agrees_with_freetype(path: Path) -> None:
    """An independent reader of font files (FreeType, through Pillow) finds the same glyphs."""
    from PIL import ImageFont

    # The basic layout looks up glyphs one by one and puts no letters together.
    font = ImageFont.truetype(str(path), 24, layout_engine=ImageFont.Layout.BASIC)
    blank = bytes(font.getmask("\uffff"))
    claimed = [code for first, last in _ranges(path) for code in range(first, last + 1)]
    drawn = [
        code
        for code in claimed
        if unicodedata.category(chr(code))[0] in "LN" and code not in (0x115F, 0x1160, 0x3164)
    ]
    assert len(claimed) > 50
    for code in drawn[:: max(1, len(drawn) // 150)]:
        assert bytes(font.getmask(chr(code))) != blank, hex(code)
    known = set(claimed)
    unknown = [code for code in range(0x21, 0xD7FF, 97) if code not in known]
    for code in unknown[:100]:
        assert bytes(font.getmask(chr(code))) in (blank, b""), hex(code)


def test_the_text_font_holds_what_is_taken_for_granted() -> None:
    known = {
        c
        for first, last in _ranges(FONT_FOLDER / "SourceSans3_400Regular.ttf")
        for c in range(first, last + 1)
    }
    assert {ord(char) for char in ALWAYS} - known <= {0xAD, 0x200B}


def test_long_runs_may_break_and_short_words_stay_whole() -> None:
    long = "x" * 200
    parts = fit(long).split(BREAK)
    assert "".join(parts) == long
    assert max(map(len, parts)) <= LONGEST_RUN
    assert fit("Saltmarsh ferry line") == "Saltmarsh ferry line"


@given(st.text(max_size=300))
def test_fitting_keeps_the_words_and_never_fails(text: str) -> None:
    lost: dict[str, None] = {}
    out = fit(text, lost)
    assert not set("\n\r\t\x00\u202e\u2028") & set(out)
    assert missing(out) == ()
    assert fit(out) == out


def test_turning_a_line_around_is_not_possible() -> None:
    assert fit("total \u202e00.001$ due") == "total 00.001$ due"


def test_words() -> None:
    assert listed(["coral", "sand", "teal"]) == "coral, sand and teal"
    assert listed([]) == ""
    assert distance(22_000, System.FEET) == "14 mi"
    assert distance(22_000, System.METRIC) == "22 km"
    assert at_least_shown(0.001, MASS, System.FEET) == "< 0.1 lb"
    assert at_least_shown(0.0, MASS, System.FEET) == ""
    assert long_date(dt.date(2027, 5, 22)) == "Saturday, May 22, 2027"


@given(st.text(max_size=400), st.integers(8, 80))
def test_the_foot_of_a_page_has_one_short_line(text: str, longest: int) -> None:
    out = shortened(text, longest)
    assert len(out) <= longest
    assert "\n" not in out


def test_file_names_are_plain_and_differ() -> None:
    names = ["Café Crème!", "cafe creme", CJK, "", "con", "../../etc/passwd", "x" * 300]
    stems = file_stems(names, "piece")
    assert stems[:5] == ("cafe-creme", "cafe-creme-2", "piece-3", "piece-4", "piece-5")
    assert stems[5] == "etc-passwd"
    assert len(set(stems)) == len(stems)
    assert all(len(stem) <= 70 for stem in stems)


@given(st.lists(st.text(max_size=20), max_size=20))
def test_file_names_always_differ(names: list[str]) -> None:
    stems = file_stems(names, "piece")
    assert len(set(stems)) == len(names)
    assert all(
        stem and all(c.isascii() and (c.isalnum() or c == "-") for c in stem) for stem in stems
    )


def test_fingerprints_tell_models_apart() -> None:
    assert fingerprint({"a": 1, "b": 2}) == fingerprint({"b": 2, "a": 1})
    assert fingerprint({"a": 1}) != fingerprint({"a": 2})
    assert fingerprint({"a": b"x"}) != fingerprint({"a": b"y"})
