"""The proposal says what the client must know, adds up, and hides what is ours alone."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from decimal import Decimal
from importlib import import_module
from pathlib import Path

import pytest

from airwright.decor.assembly import Role
from airwright.language.figures import said_money
from airwright.papers.common.request import request_for
from airwright.papers.proposal import make, proposal_of
from airwright.papers.proposal.contents import _across, _with_role
from airwright.papers.proposal.warnings import FOR_CLIENTS
from airwright.plan.piece_values import BalloonLine
from airwright.plan.stability import Stability
from airwright.plan.values import Plan
from airwright.units import LENGTH, System, show
from tests.papers import pdf_reading as pdf
from tests.papers.plans import TAX, TODAY, example_plan, plan_with, studio_with


def text_of(plan: Plan, **more: dict[str, Path]) -> str:
    (paper,) = make(request_for(plan, TODAY, **more))
    return pdf.whole_text(paper.data)


def odd_money() -> Plan:
    """Every amount unlike every other, so that none can hide behind another."""
    studio = studio_with(
        pricing={
            "labour_rate": Decimal("27.31"),
            "margin": Decimal("0.37"),
            "minimum": Decimal(0),
            "price_step": Decimal("0.01"),
            "tax": TAX,
            "tax_name": "Harbour tax",
            "deposit": Decimal("0.45"),
        }
    )
    return plan_with(options=[("Small", ["One"]), ("Large", ["Two", "Three"])], studio=studio)


def test_cost_and_margin_never_stand_on_it() -> None:
    plan = odd_money()
    text = text_of(plan)
    for option in plan.options:
        money = option.money
        for secret in ("materials", "labour", "rental", "overhead", "cost", "margin"):
            amount = getattr(money, secret)
            assert amount != 0
            assert f"{amount:,.2f}" not in text, secret
    for word in ("margin", "overhead", "our cost", "labour", "rental"):
        assert not re.search(rf"\b{word}\b", text, re.IGNORECASE), word


def test_price_tax_total_and_deposit_stand_on_it_and_add_up() -> None:
    plan = odd_money()
    text = text_of(plan)
    for option in plan.options:
        money = option.money
        assert money.price + money.tax == money.total
        for amount in (money.price, money.tax, money.total, money.deposit):
            assert said_money(amount, "USD") in text
        beside = [line.price for line in option.beside]
        assert sum(option.piece_prices) + sum(beside) == money.price
        assert beside
        for part in (*option.piece_prices, *beside):
            assert said_money(part, "USD") in text
    assert "Harbour tax 8.25%" in text
    assert "45%" in text


def test_no_tax_no_tax_line() -> None:
    (option, *_) = example_plan().options
    assert option.money.tax == 0
    assert "Tax" not in text_of(example_plan())


@pytest.mark.parametrize(
    ("event", "days", "valid"),
    [
        (dt.date(2027, 5, 22), 21, dt.date(2027, 3, 22)),
        (dt.date(2027, 3, 10), 21, dt.date(2027, 3, 10)),  # not beyond the event
        (dt.date(2027, 2, 1), 21, dt.date(2027, 3, 22)),  # a past date is no limit
    ],
)
def test_validity_counts_from_the_day_given(event: dt.date, days: int, valid: dt.date) -> None:
    plan = plan_with(head={"date": event}, studio=studio_with(house={"validity_days": days}))
    assert proposal_of(plan, TODAY).valid_until == valid


def test_it_names_everything_a_client_asks_for() -> None:
    plan = plan_with(
        options=[("Small", ["One"]), ("Large", ["Two", "Three"])],
        note="With a bow.",
        studio=studio_with(
            house={"name": "Gull & Sons", "contact": "hello@example.test", "terms": "Be kind."}
        ),
        head={"client": "Saltmarsh Ferries", "title": "Reopening"},
    )
    text = text_of(plan)
    for words in (
        "Reopening",
        "for Saltmarsh Ferries",
        "Gull & Sons",
        "hello@example.test",
        "Saturday, May 22, 2027",
        "March 22, 2027",
        "10:00",
        "Be kind.",
        "Small",
        "Large",
        "With a bow.",
        "coral",
        "Signature",
    ):
        assert words in text, words
    for piece in plan.pieces:
        assert f"{show(piece.assembly.height_m, LENGTH)} tall" in text


def test_metric_proposals_are_wholly_metric() -> None:
    from airwright.units import System

    plan = plan_with(["One"], studio=studio_with(house={"units": System.METRIC}))
    high = plan.pieces[0].assembly.height_m
    assert f"{high:.2f} m tall" in text_of(plan)
    assert not re.search(r"\d (in|ft|lb)\b", text_of(plan))


def test_every_option_is_shown_once_with_its_time_on_site() -> None:
    model = proposal_of(example_plan(), TODAY)
    assert [option.name for option in model.options] == ["Classic", "Statement", "Textured"]
    assert all(option.site_hours > 0 and option.strike_hours > 0 for option in model.options)
    text = text_of(example_plan())
    assert text.count("Set-up on site takes about") == 3


def test_cautions_are_addressed_to_the_client() -> None:
    indoors, outdoors = example_plan(), plan_with(venue={"setting": "open air", "gust": 8.0})
    inside, outside = text_of(indoors), text_of(outdoors)
    choking = FOR_CLIENTS["choking"][0]
    assert pdf.run_together(choking) in pdf.run_together(inside)
    assert "under eight" in inside  # 16 CFR 1500.19: the age the standard names
    assert "latex" in inside
    wind = pdf.run_together(FOR_CLIENTS["take-in"][0])
    assert wind not in pdf.run_together(inside)
    assert wind in pdf.run_together(outside)
    assert "Ask the client" not in inside


def test_wind_stands_with_the_pieces_outdoors_and_nowhere_else() -> None:
    plan = plan_with(venue={"setting": "open air", "gust": 8.0})
    for offered, piece in zip(proposal_of(plan, TODAY).options[0].pieces, plan.pieces, strict=True):
        assert isinstance(piece.stability, Stability)
        assert offered.gust_m_s == piece.stability.take_in_gust_m_s
    assert text_of(plan).count("Outdoors: in gusts above") == len(plan.pieces)
    assert "If the weather turns" in text_of(plan)
    inside = text_of(example_plan())
    assert "gust" not in inside
    assert "weather" not in inside


def test_a_letter_of_one_option_takes_four_pages_at_the_most() -> None:
    """The issue's own bound, for US Letter."""
    (paper,) = make(request_for(plan_with(["One", "Two", "Three"]), TODAY))
    assert pdf.page_size_mm(paper.data) == pytest.approx((215.9, 279.4), abs=0.1)
    assert pdf.page_count(paper.data) <= 4


def test_invented_only_when_the_note_says_so() -> None:
    assert "Invented scenario" not in text_of(example_plan())
    assert "Invented scenario" in text_of(plan_with(head={"note": "An invented ferry line."}))


def test_the_chosen_option_is_marked() -> None:
    options = [("Small", ["One"]), ("Large", ["Two", "Three"])]
    text = text_of(plan_with(options=options, head={"chosen": "Large"}))
    assert "your choice" in text
    assert "your choice" not in text_of(plan_with(options=options))


def test_a_job_without_options_has_no_option_to_name() -> None:
    text = text_of(plan_with())
    assert "All pieces" not in text
    assert "Side by side" not in text
    assert "What you get" in text


def test_a_picture_that_leaves_pieces_out_says_so() -> None:
    text = text_of(plan_with(["One"], count=30))
    assert "shows 6 of 30 pieces" in text
    assert "The picture shows" not in text_of(example_plan())


def test_a_photograph_takes_the_drawings_place(tmp_path: Path) -> None:
    from PIL import Image

    photo = tmp_path / "classic.png"
    Image.new("RGB", (300, 400), "#1f7a7a").save(photo)
    plain = make(request_for(example_plan(), TODAY))[0]
    (paper,) = make(request_for(example_plan(), TODAY, {"Classic": photo}))
    assert paper.findings == ()
    assert paper.fingerprint != plain.fingerprint
    assert b"/Subtype /Image" in paper.data or b"/Subtype/Image" in paper.data


@pytest.mark.parametrize("shape", [(300, 400), (900, 300), (200, 900)])
def test_photographs_are_shown_whole(tmp_path: Path, shape: tuple[int, int]) -> None:
    """Each keeps its shape, inside the margins, and none lies over another."""
    import pypdfium2
    from PIL import Image

    photos = {}
    for at, option in enumerate(example_plan().options):
        photos[option.name] = tmp_path / f"{at}.png"
        Image.effect_noise(shape, 60 + at).convert("RGB").save(photos[option.name])
    (paper,) = make(request_for(example_plan(), TODAY, photos))
    seen = 0
    for page in pypdfium2.PdfDocument(paper.data):
        boxes = [item.get_bounds() for item in page.get_objects() if item.type == 3]
        seen += len(boxes)
        for number, (left, bottom, right, top) in enumerate(boxes):
            assert (right - left) / (top - bottom) == pytest.approx(shape[0] / shape[1], rel=0.01)
            assert left >= 20 / pdf.MM_PER_POINT - 1
            assert right <= page.get_width() - 20 / pdf.MM_PER_POINT + 1
            for other in boxes[:number]:
                assert (
                    left >= other[2] or right <= other[0] or top <= other[1] or bottom >= other[3]
                )
    assert seen == 6


@pytest.mark.parametrize("content", [b"", b"not a picture", b"\x89PNG\r\n\x1a\n broken", b"GIF89a"])
def test_an_unusable_photograph_is_a_finding_and_the_drawing_stays(
    tmp_path: Path, content: bytes
) -> None:
    photo = tmp_path / "bad.png"
    photo.write_bytes(content)
    (paper,) = make(request_for(example_plan(), TODAY, {"Classic": photo}))
    assert [finding.code for finding in paper.findings] == ["photo-unusable"]
    assert "Classic" in paper.findings[0].what
    (missing,) = make(request_for(example_plan(), TODAY, {"Classic": tmp_path / "none.png"}))
    assert [finding.code for finding in missing.findings] == ["photo-unusable"]


def test_a_decompression_bomb_is_refused(tmp_path: Path) -> None:
    import struct
    import zlib

    def chunk(name: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        )

    head = struct.pack(">IIBBBBB", 50_000, 50_000, 8, 2, 0, 0, 0)
    photo = tmp_path / "bomb.png"
    photo.write_bytes(
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0" * 1000))
        + chunk(b"IEND", b"")
    )
    (paper,) = make(request_for(example_plan(), TODAY, {"Classic": photo}))
    assert [finding.code for finding in paper.findings] == ["photo-unusable"]
    assert "too many pixels" in paper.findings[0].what


def test_unprintable_characters_are_said_aloud() -> None:
    plan = plan_with(head={"client": "Runes \U00016a60\U00013000 and more"})
    (paper,) = make(request_for(plan, TODAY))
    assert [finding.code for finding in paper.findings] == ["no-glyph"]
    assert "U+13000" in paper.findings[0].what
    assert "Runes" in pdf.whole_text(paper.data)


def test_the_fingerprint_follows_the_inputs() -> None:
    first = make(request_for(example_plan(), TODAY))[0]
    later = make(request_for(example_plan(), TODAY + dt.timedelta(days=1)))[0]
    assert first.fingerprint != later.fingerprint


def test_every_paper_of_a_state_of_the_job_bears_its_number_and_day_of_issue() -> None:
    request = request_for(example_plan(), TODAY)
    line = f"Job {request.mark.number} · issued March 1, 2027"
    for name in ("proposal", "make_sheet", "sizing_card", "load_list", "safety_sheet"):
        (paper,) = import_module(f"airwright.papers.{name}").make(request)
        assert all(line in text for text in pdf.texts(paper.data)), name
    other = request_for(plan_with(("Another",)), TODAY)
    assert other.mark.number != request.mark.number


def test_words_for_what_a_piece_is_made_of() -> None:
    """One accent is no plural, and a foil number has a height, not a width across."""
    one = BalloonLine("5in", 5.0, 4.0, "gold", Role.ACCENT.label, 1)
    assert "as an accent" in _with_role(Role.ACCENT, [one], System.FEET)
    assert "as accents" in _with_role(Role.ACCENT, [replace(one, count=2)], System.FEET)
    assert _across([replace(one, size="34in foil 4")], System.FEET) == "4 in high"
    assert _across([replace(one, size="18in foil round")], System.FEET) == "4 in across"
