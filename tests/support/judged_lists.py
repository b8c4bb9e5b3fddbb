"""The lists of a judge: children, words, phrases and orders of one folder of `tests/data`, and what the program says for them."""

from __future__ import annotations

import csv
import re

from places import DATA

from approx.child import read_child_file
from approx.child.profile import Profile
from approx.practice.suggest.answer import Suggestion
from approx.practice.suggest.suggest import Suggester, SuggestOptions

Row = dict[str, str]
_VOWEL = re.compile("[aeo][ɪʊ]|ɔɪ|[iɪeɛæaɑɔʌəuʊoɝɚ]")


def plain(form: str) -> str:
    """A form without marks of syllable edges, ties, and of stress where there is one syllable; β is b."""
    words = [word.translate(str.maketrans("β", "b", ".ˌ͡")) for word in form.split()]
    return " ".join(word.replace("ˈ", "") if len(_VOWEL.findall(word)) == 1 else word for word in words)


def forms(cell: str) -> list[str]:
    """The forms of a cell, as they are compared."""
    return [plain(each) for each in cell.split(" | ")]


class JudgedList:
    """One folder. `top`: how many forms of a word are asked for; each child and word is worked out once."""

    def __init__(self, folder: str, top: int = 8) -> None:
        self.folder, self.top = DATA / folder, top
        self._suggesters: dict[str, Suggester] = {}
        self._said: dict[tuple[str, str], Suggestion] = {}

    def table(self, name: str, child: str = "") -> list[Row]:
        """The rows of a file, of one child if one is named."""
        rows = csv.DictReader((self.folder / name).open(encoding="utf-8"), delimiter="\t", quoting=csv.QUOTE_NONE)
        return [row for row in rows if row["child"] == child or not child]

    def child(self, name: str) -> Profile:
        """A child's file, which must be without faults."""
        return self.suggester(name).profile

    def suggester(self, name: str) -> Suggester:
        if name not in self._suggesters:
            profile, problems = read_child_file(self.folder / f"{name.lower()}.toml")
            assert profile is not None and not [problem for problem in problems if problem.fatal]
            self._suggesters[name] = Suggester(profile, SuggestOptions(top=self.top))
        return self._suggesters[name]

    def said(self, name: str, word: str) -> Suggestion:
        """What is suggested for a word."""
        if (name, word) not in self._said:
            self._said[name, word] = self.suggester(name).phrase(word).words[0]
        return self._said[name, word]
