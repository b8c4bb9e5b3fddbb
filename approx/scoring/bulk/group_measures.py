"""Every measure of many groups at once: the same figures as `catalogue.evaluate` gives for each, worked out in arrays.

What a measure adds up and divides, and how its interval is found, is read from `catalogue.MEASURES`; here it is only done
for all groups together. A `Score` is made when it is asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, NamedTuple

from approx.scoring.bulk.interval_arrays import exact_in_groups, of_ratios, of_sounds_in_groups
from approx.scoring.judging.counts import CountRow, Counts
from approx.scoring.judging.options import ScoringOptions, signature
from approx.scoring.measures.bands import Setting, pcc_band
from approx.scoring.measures.catalogue import MEASURES, Measure, Score
from approx.scoring.measures.intervals import EXACT, LINEAR, NO_DIFFERENCE, SCORE, TOO_FEW

if TYPE_CHECKING:
    from approx.scoring.bulk.chosen_pairs import ChosenPairs
    from approx.scoring.bulk.interval_arrays import Ends, Floats, Ints

BANDED = ("pcc",)
"""Measures with a band."""
_METHODS = ("", TOO_FEW, NO_DIFFERENCE, EXACT, SCORE, LINEAR)


class MeasureColumn(NamedTuple):
    """One measure of many groups, a figure each; NaN for what is undefined or has no interval. `told`: places in `tellings`,
    each of which says how the interval was found, or why there is none, and why an undefined value is."""

    hits: list[int]
    out_of: list[int]
    value: list[float]
    low: list[float]
    high: list[float]
    words: list[int]
    told: list[int]
    tellings: tuple[tuple[str, str], ...]


class MeasuredGroups:
    """All measures of groups of chosen pairs."""

    def __init__(self, chosen: ChosenPairs, options: ScoringOptions) -> None:
        import numpy as np

        self.signature = signature(options)
        self._chosen, self._options = chosen, options
        with np.errstate(divide="ignore", invalid="ignore"):  # what is undefined is NaN, and left out below
            self.columns = {name: self._column(measure) for name, measure in MEASURES.items()}
        """Every measure but its band, which depends on what is known of a group."""
        del self._chosen

    def score(self, name: str, at: int, setting: Setting) -> Score:
        """One measure of one group. KeyError for no measure."""
        hits, out_of, value, low, high, words, told, tellings = self.columns[name]
        figure, bounded = value[at], low[at] == low[at]
        defined = figure == figure  # noqa: PLR0124 - NaN is no figure
        method, reason = tellings[told[at]]
        named = pcc_band(figure, setting) if name in BANDED and defined else None
        return Score(
            name, hits[at], out_of[at], figure if defined else None, low[at] if bounded else None,
            high[at] if bounded else None, method, named.name if named else "", named.caution if named else "", reason,
            self.signature, words[at],
        )  # fmt: skip

    def _column(self, measure: Measure) -> MeasureColumn:
        import numpy as np

        hits, out_of, value, words, (low, high), method = self._figures(measure)
        defined = value == value  # noqa: PLR0124 - NaN is no figure
        if measure.most is not None:
            high = np.where((high > measure.most) & (value <= measure.most), measure.most, high)
        few = words < self._options.interval_words
        if method:
            none = np.where(few, _METHODS.index(TOO_FEW), _METHODS.index(NO_DIFFERENCE))
            methods = np.where(few | (low != low), none, _METHODS.index(method))  # noqa: PLR0124 - NaN is no figure
        else:
            methods = np.zeros(len(words), np.int64)
        reasons = [_reason(measure, self._options, Counts())]
        undefined = np.full(len(words), len(_METHODS))
        if measure.name == "aci":  # undefined too where every consonant is right
            reasons.append(_reason(measure, self._options, Counts({CountRow(consonants=1, consonants_right=1): 1})))
            undefined += self._chosen.sums(measure.bottom) > 0
        tellings = *((method, "") for method in _METHODS), *(("", reason) for reason in reasons)
        kept = defined & ~few
        lows, highs = (np.where(kept, end, np.nan).tolist() for end in (low, high))
        values: list[float] = value.tolist()
        if measure.name == "error_consistency":
            values = [int(figure) if figure == figure else figure for figure in values]  # noqa: PLR0124 - a number of forms, or NaN
        told = np.where(defined, methods, undefined).tolist()
        return MeasureColumn(hits.tolist(), out_of.tolist(), values, lows, highs, words.tolist(), told, tellings)

    def _figures(self, measure: Measure) -> tuple[Ints, Ints, Floats, Ints, Ends, str]:
        """Of one measure hits, out of how many, value, words it rests on, ends of the interval, and how they are found."""
        import numpy as np

        chosen, options, name = self._chosen, self._options, measure.name
        confidence, scale = options.confidence, 100 if measure.unit == "percent" else 1
        none = np.full(chosen.groups, np.nan), np.full(chosen.groups, np.nan)
        if name == "aci":
            return self._competence()
        if name == "error_consistency":
            hits, out_of = chosen.slots.different_errors()
            return hits, out_of, np.where(out_of > 0, hits, np.nan), chosen.tokens, none, ""
        if name == "inconsistency":
            hits, out_of = chosen.inconsistency(options)
        elif measure.parts is not None:
            moments = chosen.variability(options) if name == "pwv" else chosen.structure_levels()
            share = moments.share()
            ends = of_ratios(share, moments.variance(), moments.words, confidence)
            return moments.top, moments.bottom, share, moments.words, ends, LINEAR
        else:
            hits, out_of = chosen.sums(measure.top), chosen.sums(measure.bottom)
        value = np.where(out_of > 0, scale * hits / out_of, np.nan)
        if measure.by_words:
            return hits, out_of, value, out_of, exact_in_groups(hits, out_of, confidence), EXACT
        if name == "pwp" and options.pwp_of_sample == "mean":
            moments, billionth = chosen.moments(("pwp_billionths",), ("words",), bounded=False), 1e-9
            words = chosen.sums(("words",))
            value = np.where(words > 0, chosen.sums(("pwp_billionths",)) / 1e9 / words, np.nan)
            ends = of_ratios(
                billionth * moments.share(), billionth * billionth * moments.variance(), moments.words, confidence
            )
            return hits, out_of, value, moments.words, ends, LINEAR
        moments = chosen.moments(measure.top, measure.bottom)
        if measure.unit == "percent":
            return hits, out_of, value, moments.words, of_sounds_in_groups(moments, confidence), SCORE
        ends = of_ratios(moments.share(), moments.variance(), moments.words, confidence)
        return hits, out_of, value, moments.words, ends, LINEAR

    def _competence(self) -> tuple[Ints, Ints, Floats, Ints, Ends, str]:
        """The Articulation Competence Index, as `accuracy.articulation_competence` and `catalogue` have it."""
        import numpy as np

        chosen = self._chosen
        names = ("consonants", "consonants_right", "consonants_right_r")
        all_of, right, heard = (chosen.sums((name,)) for name in names)
        errors, there = all_of - right, all_of > right
        distorted = heard - right
        value = np.where(there, (100 * right / all_of + 100 * distorted / errors) / 2, np.nan)
        share, wrong = right / all_of, distorted / errors
        weights = (-50 * (share / all_of + wrong / errors), 50 * (1 / all_of - (1 - wrong) / errors), 50 / errors)
        apart: Floats = np.zeros(chosen.groups)
        for a, one in zip(weights, names):
            for b, other in zip(weights, names):
                apart = apart + a * b * chosen.product(one, other)
        words = chosen.words_with("consonants")
        ends = of_ratios(
            value, np.maximum(0.0, apart) * words / np.maximum(1, words - 1), words, self._options.confidence
        )
        return np.where(there, distorted, 0), np.where(there, errors, 0), value, words, ends, LINEAR


class GroupMeasures(Mapping[str, Score]):
    """The measures of one of these groups by name."""

    def __init__(self, measured: MeasuredGroups, at: int, setting: Setting) -> None:
        self._measured, self._at, self._setting = measured, at, setting

    def __getitem__(self, name: str) -> Score:
        return self._measured.score(name, self._at, self._setting)

    @property
    def of_all(self) -> MeasuredGroups:
        """The measures of all groups together with this one."""
        return self._measured

    @property
    def place(self) -> int:
        """The place of this group among them."""
        return self._at

    def __iter__(self) -> Iterator[str]:
        return iter(MEASURES)

    def __len__(self) -> int:
        return len(MEASURES)


def _reason(measure: Measure, options: ScoringOptions, counts: Counts) -> str:
    """Why a measure is undefined for some counts."""
    return measure.of(counts, options).reason
