"""How people are spoken to: who works with the studio is "du" and "tú", clients and suppliers are
"Sie" and "usted" (docs/glossary.md)."""

import re
from importlib import resources

import pytest
from babel.messages.pofile import read_po

CLIENT = re.compile(r"/(client|proposal|invoice|acceptance|order)/|/store/editions\.py")
"""Rooms whose words clients or suppliers read, and what an edition refuses a client."""
ANSWERED = "Thank you. The studio has your choice."
"""Said to a client, though it stands among the notices of all pages."""
FORMAL = {
    # "they" begins a sentence; only "you" follows a verb or stands within one
    "de": re.compile(r"(?<!^)(?<![.!?:;] )\b(Sie|Ihr|Ihre[mnrs]?)\b|\bIhnen\b"),
    "es": re.compile(r"\busted(es)?\b"),
}
FAMILIAR = {
    "de": re.compile(r"\b(du|dich|dir|dein(e[mnrs]?)?)\b", re.IGNORECASE),
    "es": re.compile(r"\b(tú|tus?|te|ti|contigo)\b", re.IGNORECASE),
}


def texts(language: str) -> list[tuple[list[str], str]]:
    """Where each translated sentence stands, and its words."""
    book = resources.files("airwright.language") / "translations" / f"{language}.po"
    with book.open("rb") as file:
        book_rows = [one for one in read_po(file) if one.id and one.id != ANSWERED]
    rows = [(one.locations, one.string) for one in book_rows]
    return [
        ([f"/{place}" for place, _ in places], said)
        for places, string in rows
        for said in ([string] if isinstance(string, str) else string)
        if said
    ]


@pytest.mark.parametrize("language", ["de", "es"])
def test_clients_and_the_crew_are_spoken_to_as_they_should(language: str) -> None:
    wrong = []
    for places, said in texts(language):
        for_clients = [bool(CLIENT.search(place)) for place in places]
        if any(for_clients) and FAMILIAR[language].search(said):
            wrong.append(said)
        if not any(for_clients) and FORMAL[language].search(said):
            wrong.append(said)
    assert wrong == []


def test_the_rule_can_be_broken() -> None:
    assert FORMAL["de"].search("Bringen Sie es in Ordnung.")
    assert not FORMAL["de"].search("Auf die Größen achten: Sie machen den Umriss.")
    assert FAMILIAR["de"].search("Deine Wahl")
    assert FORMAL["es"].search("Pregunte usted.")
    assert FAMILIAR["es"].search("Tu elección")
