"""A suggestion for the terminal: the adult word first, then what to accept today, then the way up."""

from __future__ import annotations

from approx.practice.suggest.answer import Answer, Approximation, ArticulatoryLoad, PhraseForm, Suggestion
from approx.reports.text.drawn import Columns, Part
from approx.wording import counted

SUGGESTION_CAUTION = (
    "Steps come from rules. Check them by ear, in the child's accent; the adult always says the full word."
)
_KIND = {"target": "also the form of", "word": "sounds like", "rude": "careful: sounds like"}


def clash_words(form: Approximation | PhraseForm) -> str:
    """What a form could be mistaken for, in words."""
    parts: dict[str, list[str]] = {}
    for clash in form.clashes:
        parts.setdefault(_KIND[clash.kind], []).append(clash.word)
    return "; ".join(f"{kind} {', '.join(words)}" for kind, words in parts.items())


def why(form: Approximation) -> str:
    """The processes that made a form, each with its change: `cluster reduction (spun > pun)`."""
    if form.heard:
        day = f" {form.heard_on}" if form.heard_on else ""
        return f"chosen by the clinician, heard{day}" if form.chosen else f"heard{day}"
    if form.chosen and not form.steps:
        return "chosen by the clinician"
    if not form.steps:
        return "the adult form is in the inventory"
    changes = "; ".join(f"{step.process} ({step.before} > {step.after})" for step in form.steps)
    return f"chosen by the clinician: {changes}" if form.chosen else changes


def in_short(form: Approximation) -> str:
    """The names of the processes only, for a narrow column."""
    return "\n".join(dict.fromkeys(step.process for step in form.steps)) or why(form)


def head(word: Suggestion) -> str:
    """The word with its adult form and where that came from."""
    if word.adult is None:
        return f"{word.word}: not read"
    doubt = "" if word.sure else ", check it"
    others = f"; also {', '.join(word.other_readings)}" if word.other_readings else ""
    origin = f"{word.read_from}{doubt}" + (f": {word.note}" if word.note and not word.sure else "")
    return f'{word.word}: say {word.adult.ipa} "{word.spelled}" ({origin}{others}; WCM {word.wcm}, IPC {word.ipc})'


def ladder_line(word: Suggestion) -> str:
    """The rungs in one line, each with what it adds."""
    return " -> ".join(step.ipa + (f" [+ {step.adds}]" if step.adds else "") for step in word.ladder)


def phrase_line(form: PhraseForm) -> str:
    """One form of the whole phrase, with what it asks of the mouth."""
    name = {"full": "whole phrase", "telegraphic": "telegraphic", "other": "or"}[form.kind]
    care = f"; {clash_words(form)}" if form.clashes else ""
    return f'{name}: {form.ipa}  "{form.spelled}"  ({load_text(form.load)}){care}'


def load_text(load: ArticulatoryLoad) -> str:
    """The load in words: "3 syllables, 2 places, 1 change of place"."""
    changes = counted(load.jumps, "change of place", "changes of place")
    return f"{counted(load.syllables, 'syllable')}, {counted(len(load.places), 'place')}, {changes}"


def suggestions_lines(answer: Answer) -> list[str]:
    """Plain lines, for a pipe or a file."""
    lines = [f"Child {answer.child}" + (f", phrase: {answer.phrase}" if answer.phrase is not None else "")]
    for word in answer.words:
        lines += ["", head(word)]
        for number, form in enumerate(word.approximations):
            lead = "  today:" if number == 0 else "  or:   "
            lines.append(
                f'{lead} {form.ipa}  "{form.spelled}"  {why(form)}  (closeness {form.closeness:.2f}, WCM {form.wcm}, IPC {form.ipc})'
            )
            if form.clashes:
                lines.append(f"          {clash_words(form)}")
        lines += [f"  note:   {remark}" for remark in word.remarks]
        if len(word.ladder) > 1:
            lines.append(f"  ladder: {ladder_line(word)}")
        if not word.approximations and word.adult is not None:
            lines.append(f"  {word.note}")
    if answer.phrase_forms:
        lines += ["", *(phrase_line(form) for form in answer.phrase_forms)]
    return [*lines, "", SUGGESTION_CAUTION, f"signature: {answer.signature}"]


def answer_parts(answer: Answer) -> list[Part]:
    """The suggestions as a table, for a terminal."""
    rows = []
    for word in answer.words:
        adult = f"{word.adult.ipa}\n{word.spelled}" if word.adult else "not read"
        origin = f"{word.read_from}{'' if word.sure else ', check it'}"
        forms = "\n".join(f"{form.ipa}  {form.spelled}" for form in word.approximations) or word.note
        reason = in_short(word.approximations[0]) if word.approximations else ""
        climb = "\n".join(f"{step.ipa}  + {step.adds}" for step in word.ladder[1:])
        clashes = (clash_words(form) for form in word.approximations[:1] if form.clashes)
        care = "\n".join((*clashes, *word.remarks))
        rows.append((word.word, f"{adult}\n({origin})", forms, reason, climb, care))
    headers = ("word", "adult says", "accept today", "why", "next step", "take care")
    table = Columns(headers, tuple(rows), f"Child {answer.child}")
    return [table, *map(phrase_line, answer.phrase_forms), SUGGESTION_CAUTION, f"signature: {answer.signature}"]
