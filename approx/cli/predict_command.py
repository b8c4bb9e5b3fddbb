"""`approx predict`: how a child will likely say words not yet tried, by the rates of a sample."""

from __future__ import annotations

from pathlib import Path

from approx.cli.output import print_json, print_problems
from approx.cli.sample_input import read_input
from approx.ipa import read
from approx.ipa.word import Word
from approx.practice.word_file import read_words
from approx.problems import BAD_DATA, Problem, exit_code


def run(file: str, words: str, language: str, top: int, probe: int, rules: Path | None, as_json: bool) -> int:
    """Likely forms of each word with probabilities that add up, and the words that would teach most."""
    from approx.processes.explain import Explainer
    from approx.processes.predict import Predictor, probe_next, rates
    from approx.processes.ruleset import load

    sample = read_input(file, language)
    problems = list(sample.problems)
    rows, more = read_words(words)
    problems += more
    counted = [t for t in sample.tokens if t.counted and t.target is not None and t.produced is not None]
    if not counted or not rows:
        print_problems(problems or [Problem("predict.none", "no token to learn from", "see `approx score`", file)])
        return BAD_DATA
    tag = language or counted[0].language
    ruleset = load(rules)
    explainer = Explainer(ruleset, tag)
    told = [explainer.explain(t.target, t.produced) for t in counted if t.target and t.produced and t.language == tag]
    found = rates(told, ruleset, tag)
    targets = _targets(rows, tag, words, problems)
    predictor = Predictor(found, ruleset, tag)
    predictions = [(word, predictor.predict(target, top)) for word, target in targets]
    probes = probe_next(found, targets, ruleset, probe, tag) if probe else ()
    if as_json:
        print_json(
            {
                "child": ", ".join(dict.fromkeys(t.child for t in counted)),
                "tokens": len(told),
                "problems": [problem.as_json() for problem in problems],
                "words": [
                    {
                        "word": word,
                        "target": each.target.ipa,
                        "forms": [{"ipa": form.ipa, "p": round(form.p, 6)} for form in each.forms],
                        "other": round(each.other, 6),
                    }
                    for word, each in predictions
                ],
                "probe_next": [each.word for each in probes],
            }
        )
    else:
        print(f"from {len(told)} tokens; small samples predict loosely")
        for word, each in predictions:
            forms = "  ".join(f"{form.ipa} {form.p:.0%}" for form in each.forms)
            print(f"{word} {each.target.ipa}: {forms}  other {each.other:.0%}")
        if probes:
            print("most worth trying next: " + ", ".join(each.word for each in probes))
    print_problems(problems)
    return exit_code(problems)


def _targets(rows: list[tuple[str, str, int]], tag: str, file: str, problems: list[Problem]) -> list[tuple[str, Word]]:
    from approx.lexicon import pronunciations

    out: list[tuple[str, Word]] = []
    for word, ipa, line in rows:
        readings = pronunciations(word, tag) if not ipa else ()
        form = ipa or (readings[0].ipa if readings else "")
        reading = read(form, tag) if form else None
        if reading is None or reading.problems or len(reading.words) != 1:
            hint = "write it as IPA in the column target_ipa"
            problems.append(Problem("lexicon.unknown", f"cannot read '{word}'", hint, file, line, symbol=word))
        else:
            out.append((word, reading.words[0]))
    return out
