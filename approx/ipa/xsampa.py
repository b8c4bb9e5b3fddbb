"""X-SAMPA, an open ASCII spelling of the IPA (Wells 1995), read into IPA symbols."""

from __future__ import annotations

from functools import cache

from approx.datafiles import read_tsv, rules_path


@cache
def _table() -> dict[str, str]:
    return {row["xsampa"]: row["ipa"] for row in read_tsv(rules_path("ipa/xsampa.tsv"))}


def from_xsampa(text: str) -> str:
    """The same text in IPA, longest match first; what is not X-SAMPA is left as it is, never dropped."""
    table, out, at = _table(), [], 0
    longest = max(map(len, table))
    while at < len(text):
        for size in range(min(longest, len(text) - at), 0, -1):
            found = table.get(text[at : at + size])
            if found is not None:
                out.append(found)
                at += size
                break
        else:
            out.append(text[at])
            at += 1
    return "".join(out)
