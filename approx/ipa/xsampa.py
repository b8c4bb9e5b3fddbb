"""X-SAMPA, an open ASCII spelling of the IPA (Wells 1995), into IPA; the table is `rules/ipa/xsampa.tsv`."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from approx.datafiles import read_tsv, rules_path


@cache
def _table() -> dict[str, str]:
    return {row["xsampa"]: row["ipa"] for row in read_tsv(rules_path("ipa/xsampa.tsv"))}


def xsampa_symbols(text: str) -> Iterator[tuple[str, int]]:
    """IPA for each symbol with its place in `text`, longest match first; what is no X-SAMPA stays."""
    table, at = _table(), 0
    longest = max(map(len, table))
    while at < len(text):
        sizes = range(min(longest, len(text) - at), 0, -1)
        size = next((size for size in sizes if text[at : at + size] in table), 1)
        typed = text[at : at + size]
        yield table.get(typed, typed), at
        at += size


def from_xsampa(text: str) -> str:
    """A text in X-SAMPA as IPA; what is not X-SAMPA is left as it is, never dropped."""
    return "".join(ipa for ipa, _ in xsampa_symbols(text))
