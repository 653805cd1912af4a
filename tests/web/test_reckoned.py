"""What is kept in memory: reckoned once, kept by content, never given for other content."""

from __future__ import annotations

import threading

import pytest

from firstpush.web.reckoned import Reckoned, Same, document_key


def test_the_same_is_reckoned_once_and_other_content_anew() -> None:
    """Three questions about two documents are two reckonings; the order of keys in a document is no content."""
    asked: list[str] = []
    kept: Reckoned[int] = Reckoned(most=4)

    def length(document: dict[str, int]) -> int:
        def reckon() -> int:
            asked.append(str(document))
            return len(document)

        return kept.of(document_key(document), reckon)

    assert [length({"a": 1, "b": 2}), length({"b": 2, "a": 1}), length({"a": 1})] == [2, 2, 1]
    assert len(asked) == 2


def test_what_was_asked_for_longest_ago_goes_first() -> None:
    """Of three in room for two the one not asked for since goes."""
    kept: Reckoned[str] = Reckoned(most=2)
    for key in ("first", "second", "first", "third"):
        kept.of(key, lambda key=key: key)  # type: ignore[misc]
    assert [kept.holds(key) for key in ("first", "second", "third")] == [True, False, True]


def test_what_cannot_be_reckoned_is_not_kept() -> None:
    """A fault is raised each time, and the next who asks may succeed."""
    kept: Reckoned[int] = Reckoned(most=2)
    with pytest.raises(ZeroDivisionError):
        kept.of("a", lambda: 1 // 0)
    assert not kept.holds("a")
    assert kept.of("a", lambda: 1) == 1


def test_nothing_is_kept_as_an_answer_too() -> None:
    """None is an answer: it is not reckoned again."""
    kept: Reckoned[int | None] = Reckoned(most=2)
    assert kept.of("a", lambda: None) is None
    assert kept.of("a", lambda: 1) is None


def test_many_who_ask_at_once_wait_for_one_answer() -> None:
    """Eight threads begin together; one reckons, and all get its answer."""
    kept: Reckoned[int] = Reckoned(most=2)
    begin, reckoned, answers = threading.Barrier(8), [], []

    def reckon() -> int:
        reckoned.append(threading.get_ident())
        return len(reckoned)

    def ask() -> None:
        begin.wait()
        answers.append(kept.of("a", reckon))

    threads = [threading.Thread(target=ask) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert answers == [1] * 8
    assert len(reckoned) == 1


def test_a_thing_in_a_key_is_itself_alone_and_stays() -> None:
    """An equal thing is another; the thing lives as long as the key, so that its identity is not given away."""
    first, second = [1], [1]
    assert Same(first) == Same(first) != Same(second)
    kept: Reckoned[str] = Reckoned(most=2)
    kept.of(Same(first), lambda: "first")
    place = id(first)
    del first
    assert all(id([1]) != place for _ in range(100))
    assert kept.of(Same(second), lambda: "second") == "second"
