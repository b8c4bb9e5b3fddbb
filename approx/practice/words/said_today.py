"""What the child says today for the words that are shown, and what each could be mistaken for.

Only the shown words are worked out: the search takes about a millisecond a word, the bank has thousands.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from approx.practice.suggest.clashes import Clash
from approx.practice.suggest.input_targets import Target, targets_in_list
from approx.practice.suggest.suggest import Suggester
from approx.practice.words.word_bank import RankedWord
from approx.problems import Problem


def said_today(words: Sequence[RankedWord], suggester: Suggester) -> tuple[tuple[RankedWord, ...], tuple[Problem, ...]]:
    """The words with today's form, its plain spelling, and clashes; and remarks on forms the clinician chose.

    Clashes: other words of this list and of the child's chosen forms that sound the same today ("target"), common
    words ("word") and rude ones ("rude"). A word in hand is said as the adult says it. `today` stays None where nothing
    of a word is sayable.
    """
    targets = [Target(each.word, each.adult, "word bank", True) for each in words]
    here = {each.word.lower() for each in words}
    chosen = [(word, "", 0) for word in suggester.profile.chosen if word not in here]
    more, _ = targets_in_list(chosen, suggester.language, suggester.profile, "")
    answers, problems = suggester.suggestions([*targets, *more])
    said = [(answer.word, answer.approximations[0]) for answer in answers if answer.approximations]
    sharing: dict[str, list[str]] = {}
    for name, form in said:
        sharing.setdefault(form.ipa, []).append(name)
    out = []
    for each, answer in zip(words, answers, strict=False):
        if not answer.approximations:
            out.append(each)
            continue
        form = answer.approximations[0]
        others = dict.fromkeys(name for name in sharing[form.ipa] if name != each.word)
        clashes = [Clash(name, "target") for name in others]
        clashes += [clash for clash in form.clashes if clash.kind != "target" and clash.word not in others]
        out.append(replace(each, today=form.ipa, today_spelled=form.spelled, clashes=tuple(clashes)))
    ours = [problem for problem in problems if problem.code == "suggest.chosen" and problem.symbol.lower() in here]
    return tuple(out), tuple(ours)
