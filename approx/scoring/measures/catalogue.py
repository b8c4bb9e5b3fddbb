"""All measures by name: what each is, and all of them at once with interval, band and signature.

>>> from approx.scoring.measures.accuracy import count_pairs
>>> scores = evaluate(count_pairs([("spun", "pun"), ("kæt", "kæ")]))
>>> scores["pcc"].hits, scores["pcc"].out_of, scores["pcc"].value
(3, 5, 60.0)
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from approx.scoring.judging.count_matrix import words_of
from approx.scoring.judging.counts import Counts
from approx.scoring.judging.options import Options, default_options, signature
from approx.scoring.measures import accuracy as measures
from approx.scoring.measures import variability, whole_word
from approx.scoring.measures.accuracy import Value
from approx.scoring.measures.bands import Setting, pcc_band
from approx.scoring.measures.intervals import Interval, Resampled, exact, rows_of_parts

Function = Callable[[Counts, Options], Value]


@dataclass(frozen=True, slots=True)
class Measure:
    """One measure: its function, its unit ("percent", "proportion" or "points"), and how its interval is found.

    `hits` and `out_of` name the numbers that resampling adds; `by_words` says that the items are whole words, which are
    independent, so that the interval is exact. The error consistency index grows with the sample and has none.
    """

    name: str
    title: str
    of: Function
    unit: str
    hits: tuple[str, ...] = ()
    out_of: tuple[str, ...] = ()
    by_words: bool = False


@dataclass(frozen=True, slots=True)
class Score:
    """One measure of one sample as it is shown."""

    name: str
    hits: int
    out_of: int
    value: float | None
    low: float | None = None
    high: float | None = None
    method: str = ""
    """How the interval was found; "" for none."""
    band: str = ""
    caution: str = ""
    reason: str = ""
    """Why the value is undefined."""
    signature: str = ""

    def as_json(self) -> dict[str, object]:
        """The promise of `approx score --json`: hits, out_of, value, low, high, and what else is not empty."""
        out: dict[str, object] = {
            "hits": self.hits,
            "out_of": self.out_of,
            "value": self.value,
            "low": self.low,
            "high": self.high,
        }
        return out | {key: text for key in ("method", "band", "caution", "reason") if (text := getattr(self, key))}


def _plain(function: Callable[[Counts], Value]) -> Function:
    return lambda counts, options: function(counts)


def _of_class(name: str) -> Function:
    return lambda counts, options: measures.pcc_of_class(counts, name, options)


_C, _V = ("consonants",), ("vowels",)

MEASURES: dict[str, Measure] = {
    measure.name: measure
    for measure in (
        Measure("pcc", "Percentage of Consonants Correct", _plain(measures.pcc), "percent", ("consonants_right",), _C),
        Measure("pcc_a", "PCC-Adjusted", _plain(measures.pcc_a), "percent", ("consonants_right_a",), _C),
        Measure("pcc_r", "PCC-Revised", _plain(measures.pcc_r), "percent", ("consonants_right_r",), _C),
        Measure("pvc", "Percentage of Vowels Correct", _plain(measures.pvc), "percent", ("vowels_right",), _V),
        Measure("pvc_r", "PVC-Revised", _plain(measures.pvc_r), "percent", ("vowels_right_r",), _V),
        Measure("ppc", "Percentage of Phonemes Correct", _plain(measures.ppc), "percent",
                ("consonants_right", "vowels_right"), _C + _V),
        Measure("ppc_r", "PPC-Revised", _plain(measures.ppc_r), "percent", ("consonants_right_r", "vowels_right_r"), _C + _V),
        Measure("pcc_early", "PCC of the early eight", _of_class("early"), "percent", ("early_right",), ("early",)),
        Measure("pcc_middle", "PCC of the middle eight", _of_class("middle"), "percent", ("middle_right",), ("middle",)),
        Measure("pcc_late", "PCC of the late eight", _of_class("late"), "percent", ("late_right",), ("late",)),
        Measure("aci", "Articulation Competence Index", _plain(measures.articulation_competence), "percent"),
        Measure("pwc", "Proportion of Whole-Word Correctness", _plain(whole_word.pwc), "percent", by_words=True),
        Measure("pmlu", "Phonological Mean Length of Utterance", _plain(whole_word.pmlu), "points", ("points",), ("words",)),
        Measure("pmlu_target", "PMLU of the targets", _plain(whole_word.pmlu_target), "points", ("target_points",), ("words",)),
        Measure("pwp", "Proportion of Whole-Word Proximity", whole_word.pwp, "proportion", ("points",), ("target_points",)),
        Measure("wcm_target", "Word Complexity Measure of the targets", _plain(whole_word.wcm_target), "points",
                ("wcm_target",), ("words",)),
        Measure("wcm_produced", "Word Complexity Measure of what was said", _plain(whole_word.wcm_produced), "points",
                ("wcm_produced",), ("words",)),
        Measure("wcm_ratio", "WCM said over WCM of the targets", _plain(whole_word.wcm_ratio), "proportion",
                ("wcm_produced",), ("wcm_target",)),
        Measure("ipc_target", "Index of Phonetic Complexity of the targets", _plain(whole_word.ipc_target), "points",
                ("ipc_target",), ("words",)),
        Measure("ipc_produced", "Index of Phonetic Complexity of what was said", _plain(whole_word.ipc_produced), "points",
                ("ipc_produced",), ("words",)),
        Measure("syllable_match", "Syllable count as in the target", _plain(whole_word.syllable_match), "percent", by_words=True),
        Measure("shape_match", "Word shape as in the target", _plain(whole_word.shape_match), "percent", by_words=True),
        Measure("stress_match", "Stress pattern as in the target", _plain(whole_word.stress_match), "percent", by_words=True),
        Measure("structure_level", "Mean syllable structure level", _plain(whole_word.structure_level), "points"),
        Measure("inconsistency", "Words not said alike every time", variability.inconsistency, "percent", by_words=True),
        Measure("pwv", "Proportion of Whole-Word Variability", variability.pwv, "proportion"),
        Measure("error_consistency", "Error consistency index", _plain(variability.error_consistency), "points"),
    )
}  # fmt: skip
"""Every measure by its name, in the order in which they are shown."""


def evaluate(counts: Counts, options: Options | None = None, setting: Setting | None = None) -> dict[str, Score]:
    """Every measure of one sample: value, interval, band with cautions, signature.

    `setting` tells the band what it must caution about; without it the number of words is known only.
    """
    many = Evaluation()
    many.add(counts, options or default_options(), setting)
    return many.scores()[0]


@dataclass(frozen=True, slots=True)
class _Sample:
    """What is needed of a sample once its counts are forgotten."""

    values: dict[str, Value]
    options: Options
    setting: Setting
    intervals: dict[str, Interval | None]

    def resample(self, name: str, rows: Mapping[int, int]) -> None:
        """Find the intervals that these rows give: of the measures of words (""), or of one of other items."""
        drawn = Resampled(rows, self.options)
        for measure in (MEASURES[name],) if name else MEASURES.values():
            if name or measure.name not in _PARTS:
                self.intervals[measure.name] = _interval(measure, self.values[measure.name], self.options, drawn)


class Evaluation:
    """Measures of many samples: small ones are resampled last, those of one size together, which saves most of the
    drawing. Each sample gets what `evaluate` gives it; its counts are not kept.
    """

    def __init__(self) -> None:
        self._samples: list[_Sample] = []
        self._waiting: list[tuple[int, int, str, Mapping[int, int]]] = []

    def add(self, counts: Counts, options: Options, setting: Setting | None = None) -> None:
        """Add a sample."""
        values = {name: measure.of(counts, options) for name, measure in MEASURES.items()}
        sample = _Sample(values, options, setting or Setting(counts["words"], options.language), {})
        drawn: dict[str, Mapping[int, int]] = {"": counts.rows}
        if options.resamples > 0:
            drawn |= {name: rows_of_parts(parts(counts, options)) for name, (parts, _) in _PARTS.items()}
        for name, rows in drawn.items():
            size = words_of(rows)
            if size > options.resampled_words:
                sample.resample(name, rows)
            else:
                self._waiting.append((size, len(self._samples), name, rows))
        self._samples.append(sample)

    def scores(self) -> list[dict[str, Score]]:
        """The scores of each sample, in the order in which they were added."""
        for _, at, name, rows in sorted(self._waiting, key=lambda entry: entry[:3]):
            self._samples[at].resample(name, rows)
        self._waiting.clear()
        return [_scores(sample) for sample in self._samples]


def _scores(sample: _Sample) -> dict[str, Score]:
    mark = signature(sample.options)
    out: dict[str, Score] = {}
    for name, value in sample.values.items():
        found = sample.intervals.get(name)
        band = pcc_band(value.value, sample.setting) if name == "pcc" else None
        out[name] = Score(
            name,
            value.hits,
            value.out_of,
            value.value,
            found.low if found else None,
            found.high if found else None,
            found.method if found else "",
            band.name if band else "",
            band.caution if band else "",
            value.reason,
            mark,
        )
    return out


def _interval(measure: Measure, value: Value, options: Options, drawn: Resampled) -> Interval | None:
    if value.value is None or options.resamples < 1:
        return None
    if measure.by_words:
        return exact(value.hits, value.out_of, options.confidence)
    if measure.name == "aci":
        return drawn.interval_of(measures.competence, measures.competences)
    if measure.name in _PARTS:
        return drawn.interval(("points",), ("words",), 1.0, _PARTS[measure.name][1])
    if not measure.hits:
        return None
    scale = 100.0 if measure.unit == "percent" else 1.0
    hits, out_of = measure.hits, measure.out_of
    if measure.name == "pwp" and options.pwp_of_sample == "mean":
        hits, out_of, scale = ("pwp_billionths",), ("words",), 1e-9
    found = drawn.interval(hits, out_of, scale)
    if found and found.low == found.high and measure.unit == "percent" and value.value in (0.0, 100.0):
        by_words = exact(drawn.words if value.value else 0, drawn.words, options.confidence)
        return by_words and Interval(by_words.low, by_words.high, "exact, over words: nothing varies in the sample")
    return found


_PARTS: dict[str, tuple[Callable[[Counts, Options], Mapping[tuple[int, int], int]], str]] = {
    "pwv": (variability.shapes_and_tokens, "words resampled, each with its tokens"),
    "structure_level": (whole_word.levels_of_forms, "different forms resampled"),
}
"""Measures that are sums over other items than tokens, and what is drawn for them."""
