"""`approx report THEN NOW`: two samples of one child under the same rules, on the terminal or as a document."""

from __future__ import annotations

from pathlib import Path

from approx.cli.output import page_problem, print_json, print_problems, write_document
from approx.cli.sample_input import read_input
from approx.practice.compare_samples import compare_tokens
from approx.problems import BAD_DATA, WRONG_USE, Problem, exit_code
from approx.samples.rows.sample import Sample
from approx.samples.token import Token


def run(
    then: str,
    now: str,
    child: str,
    accents: list[str],
    as_json: bool,
    page: Path | None,
    language: str,
    sample_language: str,
) -> int:
    """Compare the sample of THEN with that of NOW. The two may be one file with two dates: then the first and last are taken.

    `language` is that of the report, `sample_language` that of rows without one of their own.
    """
    wrong = page_problem(page)
    if wrong:
        print_problems(wrong)
        return WRONG_USE
    problems: list[Problem] = []
    samples = [read_input(name, sample_language) for name in dict.fromkeys((then, now))]
    for sample in samples:
        problems += sample.problems
    picked = _picked(samples, child, problems)
    if picked is None:
        print_problems(problems)
        return BAD_DATA
    found, unknown = compare_tokens(*picked, accents)
    problems += [*unknown, *found.problems]
    if as_json:
        from approx.reports.tables.comparison import now_then_json

        print_json(now_then_json(found, problems))
    else:
        from approx.reports.documents.child_report import now_then_document
        from approx.reports.documents.documents import document_lines

        print("\n".join(document_lines(now_then_document(found, language))))
    if page is not None and not any(problem.fatal for problem in found.problems):
        from approx.reports.documents.child_report import now_then_document

        problems += write_document(page, now_then_document(found, language))
    print_problems(problems)
    return exit_code(problems)


def _picked(samples: list[Sample], child: str, problems: list[Problem]) -> tuple[list[Token], list[Token]] | None:
    """The tokens then and now: of one child, one session each."""
    groups: list[dict[tuple[str, str], list[Token]]] = []
    for sample in samples:
        found: dict[tuple[str, str], list[Token]] = {}
        for token in sample.tokens:
            if not child or token.child == child:
                found.setdefault((token.child, token.session_date), []).append(token)
        groups.append(dict(sorted(found.items(), key=lambda item: item[0][1])))
    first, last = groups[0], groups[-1]
    if not first or not last:
        code = f" of child '{child}'" if child else ""
        problems.append(Problem("report.none", f"no tokens{code} in one of the files", "check the files and the code"))
        return None
    children = {key[0] for found in groups for key in found}
    if len(children) > 1 and not child:
        hint = "say which: --child " + " or ".join(sorted(name or "(none)" for name in children))
        problems.append(Problem("report.child", "the files hold more than one child", hint))
        return None
    if len(groups) == 1 and len(first) < 2:
        problems.append(Problem("report.one", "one file with one session", "give two files, or a file with two dates"))
        return None
    return list(first.values())[0 if len(groups) == 1 else -1], list(last.values())[-1]
