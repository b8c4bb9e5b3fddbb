"""`approx words say`: how a word is read, and a reading of one's own remembered."""

from __future__ import annotations

import sys

from approx.cli.output import print_json, print_problems
from approx.ipa import read
from approx.lexicon import pronunciations
from approx.lexicon.own_words import load_own_words, own_words_path
from approx.lexicon.own_words import say as remember
from approx.problems import BAD_DATA, FINE, exit_code


def say(word: str, ipa: str, language: str, as_json: bool) -> int:
    """Without IPA: list the readings. With IPA: remember it for good."""
    if not ipa:
        return _show(word, language, as_json)
    reading = read(ipa, language)
    problems = reading.problems or remember(word, reading.ipa, language)
    print_problems(problems)
    if exit_code(problems) != FINE:
        return BAD_DATA
    print(f"'{word}' is now read {reading.ipa} (kept in {own_words_path().name})", file=sys.stderr)
    return FINE


def _show(word: str, language: str, as_json: bool) -> int:
    own, problems = load_own_words(language)
    readings = pronunciations(word, language, own)
    print_problems(problems)
    if as_json:
        rows = [{"ipa": r.ipa, "read_from": r.source, "sure": r.sure, "note": r.note} for r in readings]
        print_json({"word": word, "readings": rows})
    else:
        for reading in readings:
            doubt = "" if reading.sure else ", check it"
            print(f"{reading.ipa}\t{reading.source}{doubt}" + (f"\t{reading.note}" if reading.note else ""))
    if not readings:
        print(f"cannot read '{word}'; remember it: approx words say {word} /IPA/", file=sys.stderr)
        return BAD_DATA
    return exit_code(problems)
