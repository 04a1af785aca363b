"""The name of a person: blanks are one each, nobody is nobody, and no word mixes letters that only look alike."""

import pytest

from inspect_kit.text.page_values import parse_name, parse_one_name
from inspect_kit.text.source import Unreadable


@pytest.mark.parametrize("name", ["Ada Bellcrank", "Ольга Крылова", "Ελένη Αετού", "Zoë d'Arc-Müller"])
def test_a_name_in_any_one_alphabet_is_a_name(name: str) -> None:
    assert parse_name(f" {name.replace(' ', '   ')} ") == name


@pytest.mark.parametrize("name", ["\u0410da Bellcrank", "Ada Bellcr\u0430nk", "Ada \u0392ellcrank"])
def test_a_word_in_letters_of_two_alphabets_is_refused_and_named(name: str) -> None:
    with pytest.raises(Unreadable, match="has letters of two alphabets that look alike"):
        parse_name(name)


@pytest.mark.parametrize("name", ["x", "--", "7", "The inspector", "Mechanic", "my wife", "a friend", "Repairman"])
def test_what_names_nobody_is_refused(name: str) -> None:
    with pytest.raises(Unreadable, match="names nobody"):
        parse_name(name)


@pytest.mark.parametrize("name", ["crack found", "Pip Ash crack found", "oil leak", "Ada Bellcrank not done"])
def test_what_was_found_is_no_name(name: str) -> None:
    with pytest.raises(Unreadable, match="is no person's name"):
        parse_one_name(name)
    assert parse_one_name("Tom Leak") == "Tom Leak"


@pytest.mark.parametrize("name", ["crack found - Pip Ash", "Pip Ash \u2013 Ada Bellcrank", "Pip * Ash"])
def test_two_lines_that_became_one_value_are_no_name(name: str) -> None:
    with pytest.raises(Unreadable, match="a line of its own"):
        parse_name(name)
    assert parse_name("Anne-Marie Smith-Jones") == "Anne-Marie Smith-Jones"
