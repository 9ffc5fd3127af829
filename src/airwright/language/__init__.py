"""Sentences as values: written once in English, said in the reader's language at the rim.

Deep down a sentence is made with `message("It needs {count} bases.", count=3)`: a message and its
values. Whoever shows it (page, paper, terminal) calls `say(sentence)` inside
`with speaking("de"):`. A message without a translation falls back to English.

    message, counted     make a sentence
    sentences         several sentences in a row
    listing           "coral, sand and teal"
    joined            "coral, open bag": a sign between them
    speaking, say     choose the reader's language, and say a value in it
    speak             choose it for the rest of a request
    say_all           say every text in nested lists and mappings
"""

from airwright.language.catalogs import (
    ENGLISH_UK,
    ENGLISH_US,
    GERMAN,
    LANGUAGES,
    PSEUDO,
    Language,
    known_language,
)
from airwright.language.saying import current_language, say, say_all, speak, speaking
from airwright.language.text import Text, counted, file_word, joined, listing, message, sentences

__all__ = [
    "ENGLISH_UK",
    "ENGLISH_US",
    "GERMAN",
    "LANGUAGES",
    "PSEUDO",
    "Language",
    "Text",
    "counted",
    "current_language",
    "file_word",
    "joined",
    "known_language",
    "listing",
    "message",
    "say",
    "say_all",
    "sentences",
    "speak",
    "speaking",
]
