"""The invented child that an empty caseload offers: sample, inventory, words, sessions and probes, from one file of rules.

Everything in `rules/pages/example_child.toml` is invented.
"""

from __future__ import annotations

from datetime import date, timedelta

from approx.datafiles import read_toml, rules_path
from approx.records.caseload import Caseload
from approx.records.database.rows import PhaseEntry, ProbeEntry, Refused, StoredChild, TrialEntry
from approx.reports.messages import said_in
from approx.web.forms.profile_form import profile_of
from approx.web.server.desk import EXAMPLE


def make_example(caseload: Caseload, language: str = "en") -> Refused | None:
    """Put the invented child in, with dates up to today; nothing where it is there already."""
    if isinstance(caseload.child(EXAMPLE), StoredChild):
        return None
    told = read_toml(rules_path("pages/example_child.toml"))

    def say(text: str) -> str:
        return said_in(text, language) or text

    days = [(date.today() - timedelta(days=back)).isoformat() for back in told["sessions"]["days_ago"]]
    made = caseload.add_child(EXAMPLE, age=told["age"], languages=("en-US",), note=say(told["note"]))
    if isinstance(made, Refused):
        return made
    profile = told["profile"].replace("CODE", EXAMPLE)
    profile_of(profile)  # a mistake in our own file is a mistake of the program
    steps: list[object] = [
        caseload.save_profile(EXAMPLE, profile, 0, say(told["source"])),
        caseload.add_sample(
            EXAMPLE, ("target_word", "target_ipa", "produced_ipa"), told["sample"]["rows"], date=days[0],
            title=say(told["sample"]["title"]),
        ),
    ]  # fmt: skip
    targets = []
    for word, adult, form in told["words"]["rows"]:
        added = caseload.add_target(
            EXAMPLE, word, adult, form=form, word_set=told["words"]["set"], since=days[told["words"]["since"]]
        )
        if isinstance(added, Refused):
            return added
        targets.append(added.id)
    for day, trials in zip(days, told["sessions"]["trials"]):
        session = caseload.start_session(EXAMPLE, day)
        if isinstance(session, Refused):
            return session
        entries = [TrialEntry(targets[word], cue, result, times) for word, cue, result, times in trials]
        steps.append(caseload.record_trials(session.id, entries) if entries else None)
    probes = [
        ProbeEntry(number, say(name), right, out_of, treated, days[number - 1])
        for number, name, right, out_of, treated in told["probes"]["rows"]
    ]
    phases = [PhaseEntry(name, first, kind, tuple(sets)) for name, first, kind, sets in told["probes"]["phases"]]
    steps.append(caseload.add_probes(EXAMPLE, probes, phases))
    return next((step for step in steps if isinstance(step, Refused)), None)
