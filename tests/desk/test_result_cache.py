"""What is kept of what was made before: bounded by number and weight, last used stays."""

from __future__ import annotations

from airwright.desk.editing.result_cache import ResultCache


def test_what_was_used_longest_ago_gives_way() -> None:
    shelf: ResultCache[str] = ResultCache(2)
    for key in "ab":
        shelf.put(key, key)
    assert shelf.get("a") == "a"
    shelf.put("c", "c")
    assert (shelf.get("a"), shelf.get("b"), shelf.get("c")) == ("a", None, "c")


def test_weight_is_bounded_and_one_thing_too_heavy_pushes_nothing_out() -> None:
    shelf: ResultCache[str] = ResultCache(10, 6, len)
    shelf.put("a", "xxx")
    shelf.put("b", "xx")
    shelf.put("c", "xxxxxxx")
    assert (shelf.get("a"), shelf.get("b"), shelf.get("c")) == ("xxx", "xx", None)
    shelf.put("b", "xxxxxxx")  # grown too heavy: the old one is not what was put last
    assert (shelf.get("b"), len(shelf)) == (None, 1)
    shelf.put("d", "xxx")
    shelf.put("e", "x")
    assert (shelf.get("a"), shelf.get("d"), shelf.get("e")) == (None, "xxx", "x")
