"""`approx child new` and `approx child show`."""

from __future__ import annotations

import sys
from pathlib import Path

from approx.child import read_child
from approx.child.template import template
from approx.cli.output import print_json, print_problems, write_new
from approx.problems import FINE, WRONG_USE, exit_code


def new(file: Path, code: str, language: str) -> int:
    """Write the template; the code and language are checked by reading it back."""
    from approx.child.child_file import read_table

    text = template(code.replace("\\", "").replace('"', ""), language.replace("\\", "").replace('"', ""))
    import tomllib

    _, problems = read_table(tomllib.loads(text), text, str(file))
    problem = problems[0] if problems else write_new(file, text)
    if problem is not None:
        print_problems([problem])
        return WRONG_USE
    print(f"{file}: written; fill it in, then `approx child show {file}`", file=sys.stderr)
    return FINE


def show(file: Path, as_json: bool) -> int:
    """Print the profile; what can be read is shown even where other lines are wrong."""
    profile, problems = read_child(file)
    if profile is None:
        print_problems(problems)
        return exit_code(problems)
    if as_json:
        from dataclasses import asdict

        data = asdict(profile)
        data["clusters"] = {f"{''.join(run)} {place}": status for (run, place), status in profile.clusters.items()}
        print_json(data | {"problems": [problem.as_json() for problem in problems]})
    else:
        from approx.reports.profile_text import profile_lines

        print("\n".join(profile_lines(profile)))
    print_problems(problems)
    return exit_code(problems)
