"""Findings: which piece they are about, and how they name it."""

from airwright.job.findings import hint, naming, within


def test_a_place_lies_in_its_piece_and_in_no_other() -> None:
    assert within("pieces[1]", "pieces[1]")
    assert within("pieces[1].body[0]", "pieces[1]")
    assert not within("pieces[10].height", "pieces[1]")


def test_a_finding_about_a_piece_names_it_once() -> None:
    found = naming(hint("code", "pieces[0].height", "Whole layers do.", ""), "pieces[0]", "Tall")
    assert found.what == "Tall: Whole layers do."
    assert naming(found, "pieces[0]", "Tall") is found


def test_what_names_the_piece_already_or_is_about_another_stays() -> None:
    said = hint("code", "pieces[0]", '"Tall" is tall.', "")
    other = hint("code", "pieces[1].height", "Whole layers do.", "")
    assert naming(said, "pieces[0]", "Tall") is said
    assert naming(other, "pieces[0]", "Tall") is other


def test_signs_and_figures_keep_their_first_letter() -> None:
    for what in ('"shades" is missing.', "7 balloons a layer do not nest.", "USD is none."):
        found = naming(hint("code", "pieces[0].body", what, ""), "pieces[0]", "Tall")
        assert found.what == f"Tall: {what}"
