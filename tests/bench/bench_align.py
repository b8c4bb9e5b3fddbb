"""Speed and right links of the aligner beside general libraries, in one run on the same pairs.

    pip install jiwer biopython lingpy      # only for this bench
    python tests/bench/bench_align.py [PAIRS]

What makes the comparison partial: jiwer knows equal and unequal only (and was not made for sounds); lingpy's SCA compares
sound classes of two languages' words, not a child's form with its target, and has no stress marks in its input here;
biopython aligns with one score for equal and one for unequal. The pairs are simulated by habits written for the bench,
so "right" means: the link the simulation made. Every library gets the same segments; strings are read by us alone.
"""

from __future__ import annotations

import gc
import sys
import time
from collections.abc import Callable, Sequence
from typing import Any

from simulated_pairs import Links, Pair, pairs, targets

from approx.ipa import reader_of, segments
from approx.scoring.alignment.costs import Prepared, prepare
from approx.scoring.bulk.fast_align import Alignments, PreparedForms


def timed(work: Callable[[], Any], repeats: int = 5) -> tuple[float, Any]:
    """Least processor seconds of a few runs (other work on the machine does not count), and what the last one gave."""
    best, given = float("inf"), None
    for _ in range(repeats):
        given = None
        gc.collect()
        start = time.process_time()
        given = work()
        best = min(best, time.process_time() - start)
    return best, given


def share(found: Sequence[Links], sample: Sequence[Pair]) -> float:
    """Percent of pairs whose links are all the true ones, in any order."""
    right = sum(set(links) == set(pair.links) for links, pair in zip(found, sample, strict=True))
    return 100 * right / len(sample)


def with_jiwer(rows: Sequence[tuple[Sequence[str], Sequence[str]]]) -> tuple[float, list[Links]]:
    import jiwer

    one, other = [" ".join(target) for target, _ in rows], [" ".join(said) for _, said in rows]
    seconds, given = timed(lambda: jiwer.process_words(one, other))
    found: list[Links] = []
    for chunks in given.alignments:
        links: list[tuple[int | None, int | None]] = []
        for chunk in chunks:
            if chunk.type == "delete":
                links += [(at, None) for at in range(chunk.ref_start_idx, chunk.ref_end_idx)]
            elif chunk.type == "insert":
                links += [(None, at) for at in range(chunk.hyp_start_idx, chunk.hyp_end_idx)]
            else:
                size = chunk.ref_end_idx - chunk.ref_start_idx
                links += [(chunk.ref_start_idx + at, chunk.hyp_start_idx + at) for at in range(size)]
        found.append(tuple(links))
    return seconds, found


def with_biopython(rows: Sequence[tuple[Sequence[str], Sequence[str]]]) -> tuple[float, list[Links]]:
    """Segments as whole numbers in arrays, prepared beforehand; one alignment a pair is asked for."""
    import numpy as np
    from Bio.Align import PairwiseAligner

    aligner = PairwiseAligner(match_score=1, mismatch_score=-1, open_gap_score=-0.8, extend_gap_score=-0.8)
    number: dict[str, int] = {}
    coded = [
        tuple(np.array([number.setdefault(phone, len(number)) for phone in form], np.int32) for form in row)
        for row in rows
    ]
    seconds, given = timed(lambda: [aligner.align(one, other)[0].coordinates for one, other in coded], repeats=4)
    found: list[Links] = []
    for coordinates in given:
        links: list[tuple[int | None, int | None]] = []
        steps = coordinates.T.tolist()
        for (i, j), (to_i, to_j) in zip(steps, steps[1:]):
            for at in range(max(to_i - i, to_j - j)):
                links.append((i + at if to_i > i else None, j + at if to_j > j else None))
        found.append(tuple(links))
    return seconds, found


def with_lingpy(rows: Sequence[tuple[Sequence[str], Sequence[str]]]) -> tuple[float, list[Links]]:
    import logging

    logging.disable(logging.INFO)
    from lingpy import Pairwise

    # Its sound classes lack the r-coloured vowels.
    plain = [tuple([phone.replace("ɝ", "ɜ").replace("ɚ", "ə") for phone in form] for form in row) for row in rows]

    def run() -> list[Any]:
        given = Pairwise(plain)
        given.align(method="sca")
        return list(given.alignments)

    seconds, given = timed(run, repeats=1)
    found: list[Links] = []
    for one, other, _ in given:
        links: list[tuple[int | None, int | None]] = []
        i = j = 0
        for left, right in zip(one, other):
            links.append((None if left == "-" else i, None if right == "-" else j))
            i, j = i + (left != "-"), j + (right != "-")
        found.append(tuple(links))
    return seconds, found


def from_text(texts: Sequence[str]) -> PreparedForms:
    """Forms read as a sample's are, each distinct one once."""
    reader, known = reader_of("en-US"), dict[str, Prepared]()
    for text in texts:
        if text not in known:
            known[text] = prepare(reader.read(text).words[0])
    return PreparedForms([known[text] for text in texts])


def main(number: int) -> None:
    sample = list(pairs(targets(4000), number))
    one, other = [pair.target for pair in sample], [pair.produced for pair in sample]
    rows = [(segments(pair.target), segments(pair.produced)) for pair in sample]
    whole = [set(range(len(target))) for target, _ in rows]
    print(f"{number} distinct pairs, {sum(map(len, whole)) / number:.1f} sounds a target")
    read_seconds, ours = timed(lambda: Alignments(from_text(one), from_text(other)))
    left, right = from_text(one), from_text(other)
    from_prepared, again = timed(lambda: Alignments(left, right))
    if list(again) != list(ours):
        raise SystemExit("alignments from text and from prepared forms differ")
    print(
        f"approx from text      {read_seconds:7.2f} s   all links right {share([a.links for a in ours], sample):5.1f} %"
    )
    print(f"approx from prepared  {from_prepared:7.2f} s")
    compare: list[tuple[str, Callable[..., tuple[float, list[Links]]], float, float]] = [
        ("jiwer process_words", with_jiwer, read_seconds, 1.3),
        ("biopython aligner", with_biopython, from_prepared, 4.0),
        ("lingpy SCA", with_lingpy, read_seconds, 8.0),
    ]
    for name, run, against, goal in compare:
        size = min(number, 20000) if name.startswith("lingpy") else number
        seconds, found = run(rows[:size])
        seconds *= number / size
        print(
            f"{name:20s}  {seconds:7.2f} s   all links right {share(found, sample[:size]):5.1f} %   "
            f"{seconds / against:5.1f} times our time (goal {goal})"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
