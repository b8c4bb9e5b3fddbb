"""Every row of the worked examples of the reference, each with its source in the file; all failures in one list."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from places import DATA
from read_words import phrase
from scoring_options import options_with

from approx.child.inventory import HeardForm, criterion, take_inventory
from approx.ipa import read
from approx.ipa.word import Word
from approx.processes.explain.opportunities import default_opportunity_options as process_options
from approx.processes.explain.sample_processes import ProcessTally
from approx.scoring.agreement import agreement, kappa
from approx.scoring.alignment.align import align_forms
from approx.scoring.judging.complexity import ipc, wcm
from approx.scoring.judging.counts import Counts, total
from approx.scoring.judging.options import measure_data
from approx.scoring.judging.scored_word import score_token
from approx.scoring.judging.structure import level_of_kinds, structure_kind
from approx.scoring.measures.accuracy import MeasureValue, pcc, pcc_a, pcc_of_class, pcc_r, percent, ppc, pvc
from approx.scoring.measures.bands import Setting, pcc_band
from approx.scoring.measures.variability import different_errors, pwv
from approx.scoring.measures.whole_word import (
    pmlu,
    pmlu_target,
    pwc,
    pwp,
    shape_match,
    structure_level,
    syllable_match,
    wcm_produced,
    wcm_ratio,
    wcm_target,
)

DATA = DATA / "worked_examples.csv"
Row = dict[str, str]

NOT_OFFERED: dict[str, str] = {
    "W205": "errors of one sound are shown as counts, in the table of sounds",
    "W229": "no least number of words is stated: the interval tells how sure a figure is",
    "W230": "no least number of words is stated: the interval tells how sure a figure is",
    "W206": "the commonest error of one sound is shown as a count, in the table of sounds",
} | dict.fromkeys(("W225", "W226", "W227", "W228"), "intervals that regard the words are printed, not standard errors")
"""Rows that stand for a choice the program does not make, with why."""


def word(text: str, language: str = "en-US") -> Word:
    return read(text.strip(), language).words[0]


def tag(row: Row) -> str:
    return "es" if row["language"].startswith("es") else "en-US"


def counts(row: Row) -> Counts:
    """Counts of a row: pairs between bars; one target for several productions is that word said several times."""
    targets = [phrase(read(text.strip(), tag(row))) for text in row["target_ipa"].split("|")]
    said = [phrase(read(text.strip(), tag(row))) for text in (row["produced_ipa"] or row["target_ipa"]).split("|")]
    if len(targets) == 1:
        targets *= len(said)
    options = options_with(language=tag(row))
    return total(one for meant, heard in zip(targets, said, strict=True) for one in score_token(meant, heard, options))


def fraction(value: MeasureValue) -> str:
    """The two whole numbers of a value, written as the reference writes them."""
    return f"{value.hits}/{value.out_of}"


def of_counts(measure: Callable[[Counts], MeasureValue]) -> Callable[[Row], str]:
    return lambda row: fraction(measure(counts(row)))


def figure(measure: Callable[[Counts], MeasureValue], digits: int) -> Callable[[Row], str]:
    return lambda row: f"{round(measure(counts(row)).value or 0.0, digits):g}"


def mean_of_words(row: Row) -> str:
    """Not the published PCC: the mean of the words' own percentages, to show that ours pools."""
    pairs = zip(row["target_ipa"].split("|"), row["produced_ipa"].split("|"), strict=True)
    parts = [pcc(counts({**row, "target_ipa": meant, "produced_ipa": said})) for meant, said in pairs]
    mean = sum(Fraction(part.hits, part.out_of) for part in parts) / len(parts)
    assert float(mean) * 100 != pcc(counts(row)).value, "the row no longer tells pooled from averaged"
    return f"{float(mean):g}"


def inconsistent(row: Row) -> str:
    """A sample with as many words as the note says, three tokens each, some with two shapes."""
    words, varied = map(int, re.findall(r"\d+", row["target_orthography"].replace("two", ""))[:2])
    from approx.scoring.measures.variability import inconsistency

    forms = {(f"w{at}", "a", False): 2 if at < varied else 3 for at in range(words)}
    forms |= {(f"w{at}", "b", False): 1 for at in range(varied)}
    return fraction(inconsistency(Counts(forms=forms)))


def occurrence(row: Row) -> str:
    """Printed percent of occurrence from its counts; the reference worked the count back from the percent."""
    hits, out_of = map(int, row["expected"].split("/"))
    tally = ProcessTally(hits, out_of)
    printed = re.search(r"([\d.]+) %", row["expected_note"])
    if printed and abs((tally.percent or 0) - float(printed[1])) > 0.05:
        return f"{tally.percent} %"
    return f"{tally.occurrences}/{tally.chances}"


def deletion(row: Row) -> str:
    from approx.processes.explain.opportunities import opportunities_in

    closed = opportunities_in(word(row["target_ipa"]))["final consonant deletion"]
    links = dict(align_forms(word(row["target_ipa"]), word(row["produced_ipa"])).links)
    return f"{sum(links[at] is None for spots in closed for at in spots)}/{len(closed)}"


def active(row: Row) -> str:
    hits, out_of = map(int, re.findall(r"\d+", row["target_orthography"]))
    standing = ProcessTally(hits, out_of).standing(process_options())
    return str(int(standing in ("active", "frequent")))


def instances(row: Row) -> str:
    """So many tokens, on as many chances and on many more: the criterion asks for instances alone."""
    (hits,) = map(int, re.findall(r"(\d+) tokens", row["target_orthography"]))
    options = replace(process_options(), criterion="instances")
    found = {ProcessTally(hits, chances).active(options) for chances in (hits, 20 * hits)}
    return str(int(found == {True}))


def band(row: Row) -> str:
    found = pcc_band(float(row["expected"]), Setting(100, contexts=frozenset({"talk"}), age=60))
    named = re.search(r"% = ([\w-]+)", row["expected_note"])
    return row["expected"] if named and found.name == named[1] else f"band {found}"


def inventory_size(row: Row) -> str:
    words = row["target_orthography"].split(";")
    forms = [word(text) for text in row["produced_ipa"].split("|")]
    rule = criterion("two tokens" if "two tokens" in row["measure"] else "")
    found = take_inventory([HeardForm(name.strip(), form) for name, form in zip(words, forms, strict=True)], rule)
    return str(sum(cell.place == "initial" and cell.status == "established" for cell in found.consonants))


def point_to_point(row: Row) -> str:
    if not row["target_ipa"]:
        total_slots, differ = map(int, re.findall(r"\d+", row["target_orthography"]))
        return fraction(percent(total_slots - differ, total_slots, "slots"))
    return fraction(agreement([(word(row["target_ipa"]), word(row["produced_ipa"]))]).broad)


def two_judges(row: Row) -> str:
    _, both, neither, one, other = map(int, re.findall(r"\d+", row["target_orthography"]))
    return f"{kappa(both, one, other, neither) or 0:.4f}"


def levels(row: Row) -> str:
    heard = total(one for text in row["produced_ipa"].split("|") for one in score_token([word("mi")], [word(text)]))
    return fraction(structure_level(heard))


def kept_of_cluster(row: Row) -> str:
    """Which member of the first cluster has a sound linked to it, from 1."""
    links = dict(align_forms(word(row["target_ipa"]), word(row["produced_ipa"])).links)
    return str(next(at + 1 for at in (0, 1) if links[at] is not None))


def class_size(row: Row) -> str:
    listed = measure_data("classes_of_eight")[row["target_orthography"].split("-")[0]].split()
    return str(len(listed)) if listed == row["target_ipa"].split() else f"{listed}"


def by_class(name: str) -> Callable[[Row], str]:
    return lambda row: fraction(pcc_of_class(counts(row), name))


def numerator(measure: Callable[[Counts], MeasureValue]) -> Callable[[Row], str]:
    return lambda row: str(measure(counts(row)).hits)


HANDLERS: dict[str, Callable[[Row], str]] = {
    "PCC": of_counts(pcc),
    "PCC-A": of_counts(pcc_a),
    "PCC-R": of_counts(pcc_r),
    "PVC": of_counts(pvc),
    "PPC": of_counts(ppc),
    "segment count (base of PMLU production rule)": lambda row: str(len(word(row["target_ipa"]).phones)),
    "PMLU (word, child)": numerator(pmlu),
    "PMLU (word, target)": numerator(pmlu_target),
    "PWP (word)": of_counts(pwp),
    "PCC (sample, pooled)": of_counts(pcc),
    "PCC (sample, mean of word percentages)": mean_of_words,
    "PVC (sample, pooled)": of_counts(pvc),
    "PPC (sample, pooled)": of_counts(ppc),
    "PMLU (sample, child)": figure(pmlu, 4),
    "PMLU (sample, target)": figure(pmlu_target, 4),
    "PWP (sample)": of_counts(pwp),
    "PWP (sample, mean of word PWPs)": figure(lambda found: pwp(found, options_with(pwp_of_sample="mean")), 4),
    "PWC (sample)": of_counts(pwc),
    "WCM (sample, target mean)": figure(wcm_target, 4),
    "WCM (sample, child mean)": figure(wcm_produced, 4),
    "WCM ratio (sample)": of_counts(wcm_ratio),
    "PWV (shapes over tokens)": of_counts(pwv),
    "PWV variant (shapes-1 over tokens-1)": of_counts(
        lambda found: pwv(found, options_with(pwv="shapes less one over tokens less one"))
    ),
    "PWC (word tokens)": of_counts(pwc),
    "WCM (word)": lambda row: str(wcm(word(row["target_ipa"]))),
    "WCM ratio (word)": of_counts(wcm_ratio),
    "IPC (word)": lambda row: str(ipc(word(row["target_ipa"]))),
    "process percentage of occurrence": lambda row: deletion(row) if row["target_ipa"] else occurrence(row),
    "process active? (4 opportunities and 20 %)": active,
    "process present? (20 % of opportunities)": active,
    "process present? (5 occurrences)": instances,
    "PCC severity band": band,
    "developmental consonant class size": class_size,
    "PCC by class, early-8": by_class("early"),
    "PCC by class, middle-8": by_class("middle"),
    "PCC by class, late-8": by_class("late"),
    "phonetic inventory size (two different words)": inventory_size,
    "phonetic inventory size (two tokens, any word)": inventory_size,
    "percent of words produced inconsistently (3 trials)": inconsistent,
    "error consistency index": lambda row: str(
        different_errors({"s": {"t": 1, "ʃ": 1, "": 1}, "k": {"t": 1}, "ɹ": {"w": 1, "": 1}})
    ),
    "point-to-point agreement": point_to_point,
    "point-to-point agreement (insertion counts as a disagreement)": point_to_point,
    "Cohen's kappa on right/wrong judgements": two_judges,
    "mean syllable structure level": levels,
    "syllable structure level": lambda row: str(
        level_of_kinds(set(map(structure_kind, word(row["produced_ipa"]).phones)))
    ),
    "word-shape match": of_counts(shape_match),
    "syllable count match": of_counts(syllable_match),
    "cluster retention (position kept)": kept_of_cluster,
}


def rows() -> list[tuple[int, Row]]:
    with DATA.open(encoding="utf-8", newline="") as lines:
        return list(enumerate(csv.DictReader(lines), 2))


def test_every_worked_example_comes_out() -> None:
    wrong: list[str] = []
    for line, row in rows():
        if row["id"] in NOT_OFFERED:
            continue
        found = HANDLERS[row["measure"]](row)
        if found != row["expected"]:
            wrong.append(f"{DATA.name}:{line}: {row['id']} {row['measure']}: {found}, expected {row['expected']}")
    assert not wrong, "\n".join(wrong)


def test_every_row_has_a_source_and_only_the_listed_rows_are_passed_over() -> None:
    found = rows()
    assert len(found) == 230
    assert all(row["source"].strip() for _, row in found)
    assert {row["id"] for _, row in found if row["measure"] not in HANDLERS} == set(NOT_OFFERED)


REFEREED = ("pmc.ncbi", "pubmed", "Answer Key")
"""Where a pair or number was read in print or in a refereed paper."""


def test_what_was_read_on_a_page_that_nobody_refereed_says_so() -> None:
    for line, row in rows():
        read_in = row["provenance"]
        told = read_in.startswith("unrefereed; ")
        assert told == ("found in text" in read_in and not any(each in read_in for each in REFEREED)), line
