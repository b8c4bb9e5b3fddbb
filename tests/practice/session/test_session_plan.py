"""Session plans: minutes against published numbers, orders of practice, what does not fit."""

from __future__ import annotations

from collections import Counter

import pytest
from drawn_examples import examples
from hypothesis import given
from hypothesis import strategies as st

from approx.practice.session.plan import (
    ORDERS,
    SessionPlan,
    assumed,
    minutes_for,
    plan_session,
    practice_rules,
    trial_runs,
    trials_in,
)

FIVE = ("mud", "hat", "cup", "Nana", "bee")


def made(
    minutes: int, words: tuple[str, ...] = FIVE, goal: int | None = None, order: str = "blocked", seed: int = 1
) -> SessionPlan:
    plan, problems = plan_session(minutes, words, goal, order, seed)
    assert plan is not None and not problems
    return plan


def test_every_rule_has_a_source_and_says_how_it_was_read() -> None:
    known = {"text", "text, secondary", "from memory", "common practice, no source"}
    rules = practice_rules()
    assert len(rules) == 46
    assert not [rule.rule for rule in rules.values() if not rule.source or rule.provenance not in known]


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("pace.fast", "trials"),
        ("pace.slow", "trials"),
        ("goal", "trials"),
        ("run", "trials"),
        ("enough", "trials"),
        ("targets", "few"),
    ],
)
def test_an_assumption_lies_within_the_rule_it_names(name: str, number: str) -> None:
    table = assumed(name)
    rule = practice_rules()[table.rule]
    assert rule.low is not None
    assert rule.low <= table[number] <= (rule.high or rule.low)


def test_a_source_that_was_not_read_says_so() -> None:
    assert assumed("enough").cited.endswith("(from memory)")
    assert "from memory" not in assumed("pace.fast").cited
    assert assumed("handover").cited == "common practice, no source"


def test_thirty_minutes_hold_a_hundred_trials_of_five_words() -> None:
    """100 trials take 15 minutes (TRI1); four breaks of two minutes after runs of 20 (TRI5), 23 minutes in all."""
    plan = made(30)
    assert plan.trials == 100 and plan.per_target == (20,) * 5
    assert [len(run.words) for run in plan.runs] == [20] * 5
    assert minutes_for(100) == pytest.approx(23.0)


@pytest.mark.parametrize(
    ("minutes", "trials"),
    [(0, 0), (2.9, 19), (3.0, 20), (5.0, 20), (5.7, 20), (5.8, 25), (8.0, 40), (23.0, 100), (22.99, 99), (24.9, 100)],
)
def test_room_for_trials_by_hand(minutes: float, trials: int) -> None:
    """A trial takes 9 s, a run of 20 takes 3 minutes, a break 2; five trials at least are worth a break."""
    assert trials_in(minutes, "fast") == trials


@pytest.mark.parametrize("order", ORDERS)
@examples(40)
@given(counts=st.lists(st.integers(1, 40), min_size=1, max_size=12), seed=st.integers(0, 5))
def test_every_word_comes_as_often_as_planned(order: str, counts: list[int], seed: int) -> None:
    parts = trial_runs(counts, order, seed)
    tally = Counter(word for run in parts for word in run)
    assert [tally[word] for word in range(len(counts))] == counts
    assert all(len(run) <= 30 for run in parts)


@examples(40)
@given(counts=st.lists(st.integers(10, 12), min_size=2, max_size=9), seed=st.integers(0, 9))
def test_at_random_no_word_comes_three_times_in_a_row(counts: list[int], seed: int) -> None:
    level = [max(counts)] * len(counts)
    words = [word for run in trial_runs(level, "random", seed) for word in run]
    assert all(len(set(words[at : at + 3])) > 1 for at in range(len(words) - 2))


def test_blocked_keeps_a_word_together_and_breaks_between_blocks() -> None:
    plan = made(30, tuple("abcdefgh"))
    for run in plan.runs:
        assert all(5 <= times <= 10 for _, times in run.blocks)
        assert len({word for word, _ in run.blocks}) == len(run.blocks)


def test_mixed_takes_two_or_three_words_by_turns() -> None:
    plan = made(30, ("a", "b", "c", "d"), order="mixed")
    for run in plan.runs:
        assert 2 <= len(run.tally) <= 4 and max(times for _, times in run.blocks) <= 2


def test_a_seed_gives_its_order_again_and_another_gives_another() -> None:
    assert made(30, order="random", seed=3) == made(30, order="random", seed=3)
    assert made(30, order="random", seed=3).runs != made(30, order="random", seed=4).runs


@examples(40)
@given(
    minutes=st.integers(5, 180),
    words=st.integers(1, 8),
    order=st.sampled_from(ORDERS),
    goal=st.one_of(st.none(), st.integers(8, 400)),
)
def test_no_plan_is_longer_than_its_minutes(minutes: int, words: int, order: str, goal: int | None) -> None:
    plan, problems = plan_session(minutes, tuple("abcdefgh"[:words]), goal, order, 1)
    assert plan is not None, problems
    last = plan.runs[-1]
    assert last.start + last.minutes <= minutes - plan.handover_minutes + 1e-6
    assert plan.trials == min(goal or 100, plan.room)
    assert all(one.start + one.minutes <= two.start for one, two in zip(plan.runs, plan.runs[1:]))


def test_a_goal_that_does_not_fit_is_said_with_what_would() -> None:
    plan = made(30, goal=200)
    told = {remark.key: dict(remark.values) for remark in plan.remarks}
    # 200 trials: 30 minutes of practice and 9 breaks of 2, and 5:50 around them
    assert told["goal"] == {"goal": "200", "minutes": "30", "room": "100", "needed": "54", "sessions": "2"}
    assert plan.trials == 100
    assert "goal" not in {remark.key for remark in made(30, goal=100).remarks}  # what fits to the last trial


def test_few_trials_and_many_words_are_said() -> None:
    keys = {remark.key for remark in made(12, tuple("abcdefgh")).remarks}
    assert {"few_trials", "few_each", "many_words"} <= keys
    assert not {"few_trials", "few_each", "many_words"} & {remark.key for remark in made(45).remarks}


def test_probe_words_are_those_named_else_the_targets_ten_at_most() -> None:
    plan, _ = plan_session(45, [f"w{number}" for number in range(14)], None, "blocked", 1)
    assert plan is not None and len(plan.probes) == 10
    named, _ = plan_session(45, FIVE, None, "blocked", 1, ("sun", "sock"))
    assert named is not None and named.probes == ("sun", "sock")


@pytest.mark.parametrize(
    ("minutes", "words", "goal", "order", "code"),
    [
        (None, FIVE, None, "blocked", "plan.minutes"),
        (30, (), None, "blocked", "plan.targets"),
        (30, FIVE, 0, "blocked", "plan.goal"),
        (30, FIVE, 3, "blocked", "plan.goal"),
        (5, tuple(f"w{number}" for number in range(60)), None, "random", "plan.too-short"),
    ],
)
def test_what_cannot_be_planned_is_one_clear_line(
    minutes: int | None, words: tuple[str, ...], goal: int | None, order: str, code: str
) -> None:
    plan, problems = plan_session(minutes, words, goal, order, 1)
    assert plan is None and [problem.code for problem in problems] == [code]
    assert problems[0].hint and problems[0].fatal


def test_every_fact_of_a_plan_carries_a_source() -> None:
    for fact in made(30).facts:
        assert fact.source and (fact.rule == "" or fact.rule in practice_rules())
