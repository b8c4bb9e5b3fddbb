"""A session from its minutes: which words, how often, in what order, with which breaks; what does not fit is said.

Words are said one at a time, a few by turns, or at random. Numbers of practice come with their sources: published rules from
`rules/practice_parameters.tsv`, what a plan assumes from `rules/session_plan.toml`.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import accumulate
from random import Random
from typing import Any, Literal, get_args

from approx.datafiles import read_toml, read_tsv, rules_path
from approx.problems import Problem
from approx.wording import worded

TrialOrder = Literal["blocked", "mixed", "random"]
ORDERS: tuple[TrialOrder, ...] = get_args(TrialOrder)
"""blocked: some trials of one word, then of the next. mixed: two or three words by turns. random: any word may come next.

Which is better for a child with apraxia is open: of four children two learned more with blocked, one with random, one with
neither (Maas & Farinella 2012, J Speech Lang Hear Res 55:561-578, abstract): begin blocked, mix later.
"""
NO_SOURCE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class TrialRun:
    """Trials without a break. `start`, `minutes`: in minutes from the beginning; `words`: numbers of the targets in turn."""

    number: int
    start: float
    minutes: float
    words: tuple[int, ...]

    @property
    def tally(self) -> tuple[tuple[int, int], ...]:
        """(target, trials in this run), in order of first coming."""
        return tuple(Counter(self.words).items())

    @property
    def blocks(self) -> tuple[tuple[int, int], ...]:
        """(target, trials in a row) as they come."""
        out: list[tuple[int, int]] = []
        for word in self.words:
            if out and out[-1][0] == word:
                out[-1] = (word, out[-1][1] + 1)
            else:
                out.append((word, 1))
        return tuple(out)


@dataclass(frozen=True, slots=True)
class PlanRemark:
    """Something the plan has to say: `key` of a sentence in `rules/pages/*.toml`, and the numbers that go into it."""

    key: str
    values: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Fact:
    """One number a plan rests on: `key` of its sentence, numbers for it, the rule's id ("" for none) and its source."""

    key: str
    values: tuple[tuple[str, str], ...]
    rule: str
    source: str


@dataclass(frozen=True, slots=True)
class SessionPlan:
    """A session. Minutes are rounded to halves where they are shown. `per_target`: trials of each target.

    `goal`: trials asked for (None: the usual number); `room`: how many the minutes have room for at the fast pace.
    """

    minutes: int
    order: str
    seed: int
    targets: tuple[str, ...]
    probes: tuple[str, ...]
    runs: tuple[TrialRun, ...]
    rest_minutes: float
    handover_minutes: float
    per_target: tuple[int, ...]
    goal: int | None
    room: int
    remarks: tuple[PlanRemark, ...]
    facts: tuple[Fact, ...]

    @property
    def trials(self) -> int:
        """Trials of the whole session."""
        return sum(self.per_target)

    @property
    def spare_minutes(self) -> float:
        """What is left between the last trial and the hand-over: for play and talk."""
        end = self.runs[-1].start + self.runs[-1].minutes
        return max(0.0, self.minutes - self.handover_minutes - end)


def plan_session(
    minutes: int | None,
    targets: Sequence[str],
    goal: int | None = None,
    order: str = "blocked",
    seed: int = 0,
    probes: Sequence[str] = (),
) -> tuple[SessionPlan | None, tuple[Problem, ...]]:
    """A plan, or None and what is wrong. `goal`: trials wanted in the whole session. `probes`: words to be said without
    help before practice; without them the targets are, as many as the rule allows."""
    problems = _wrong(minutes, targets, goal)
    if problems or minutes is None:
        return None, problems
    asked = tuple(probes) or tuple(targets[: int(assumed("probe")["words"])])
    probe_minutes = len(asked) * assumed("probe")["seconds"] / 60
    handover = min(assumed("handover")["minutes"], assumed("handover")["share"] * minutes)
    practice = minutes - probe_minutes - handover
    room = trials_in(practice, "fast")
    if room < len(targets):
        hint = "more minutes, or fewer words (and fewer probe words)"
        message = worded(
            "{minutes} {minutes:minute leaves|minutes leave} room for {room} {room:trial|trials}, fewer than the {targets} {targets:word|words}",
            minutes=minutes,
            room=room,
            targets=len(targets),
        )
        return None, (Problem("plan.too-short", message, hint),)
    wanted = int(assumed("goal")["trials"]) if goal is None else goal
    trials = max(len(targets), min(wanted, room))
    per_target = tuple(trials // len(targets) + (number < trials % len(targets)) for number in range(len(targets)))
    rest = assumed("rest")["minutes"]
    timed = _timed(trial_runs(per_target, order, seed), probe_minutes, rest)
    shown = Remarker(minutes, len(targets), goal, trials, room, practice, probe_minutes + handover)
    plan = SessionPlan(
        minutes, order, seed, tuple(targets), asked, timed, rest, handover, per_target, goal, room,
        shown.remarks(), facts(),
    )  # fmt: skip
    return plan, ()


def _wrong(minutes: int | None, targets: Sequence[str], goal: int | None) -> tuple[Problem, ...]:
    problems = []
    if minutes is None:
        problems.append(Problem("plan.minutes", "no minutes given for the session", "--minutes 30"))
    if not targets:
        problems.append(Problem("plan.targets", "no word to practice", 'give some: --words "mud, hat"'))
    if goal is not None and goal < len(targets):
        hint = "at least one trial per word: raise the goal or drop words"
        problems.append(
            Problem(
                "plan.goal",
                worded(
                    "a goal of {goal} {goal:trial|trials} for {targets} {targets:word|words}",
                    goal=goal,
                    targets=len(targets),
                ),
                hint,
            )
        )
    return tuple(problems)


def trials_in(minutes: float, pace: str) -> int:
    """How many trials so many minutes have room for, breaks between runs taken off. No break is made for a few trials more."""
    run, rest = int(assumed("run")["trials"]), assumed("rest")["minutes"]
    each = trial_minutes(pace)
    if minutes <= 0:
        return 0
    full, left = divmod(minutes + 1e-9, run * each + rest)
    more = min(run, int(left / each))
    return int(full) * run + (more if not full or more >= assumed("block")["least"] else 0)


def minutes_for(trials: int, pace: str = "fast") -> float:
    """The reverse: minutes of practice that so many trials take, breaks counted."""
    run, rest = int(assumed("run")["trials"]), assumed("rest")["minutes"]
    return trials * trial_minutes(pace) + rest * ((trials - 1) // run)


def trial_minutes(pace: str) -> float:
    """Minutes one trial takes at a pace of `rules/session_plan.toml`."""
    return assumed(f"pace.{pace}")["minutes"] / assumed(f"pace.{pace}")["trials"]


def _timed(parts: Sequence[tuple[int, ...]], begin: float, rest: float) -> tuple[TrialRun, ...]:
    out = []
    start = begin
    for number, words in enumerate(parts, 1):
        length = len(words) * trial_minutes("fast")
        out.append(TrialRun(number, start, length, words))
        start += length + rest
    return tuple(out)


@dataclass(frozen=True, slots=True)
class Remarker:
    """What the numbers of one plan give cause to say."""

    minutes: int
    words: int
    goal: int | None
    trials: int
    room: int
    practice: float
    around: float

    def remarks(self) -> tuple[PlanRemark, ...]:
        """All that is to be said of the plan."""
        found = [self.goal_too_high(), self.few_trials(), self.few_each(), self.many_words(), self.slower()]
        return tuple(remark for remark in found if remark is not None)

    def goal_too_high(self) -> PlanRemark | None:
        """More trials are wanted than fit."""
        if self.goal is None or self.goal <= self.room:
            return None
        needed = _ceiling(minutes_for(self.goal) + self.around)
        sessions = -(-self.goal // self.room)
        return _remark("goal", goal=self.goal, minutes=self.minutes, room=self.room, needed=needed, sessions=sessions)

    def few_trials(self) -> PlanRemark | None:
        """Fewer trials than sources ask for."""
        enough = int(assumed("enough")["trials"])
        return _remark("few_trials", trials=self.trials, enough=enough) if self.trials < enough else None

    def few_each(self) -> PlanRemark | None:
        """More words than trials go round: how many words would get a full block each."""
        each, block = self.trials // self.words, int(assumed("block")["most"])
        words = self.trials // block
        if each >= block or not words:
            return None
        return _remark("few_each", each=each, words=words, block=block)

    def many_words(self) -> PlanRemark | None:
        """More words than sources ask for."""
        few = int(assumed("targets")["few"])
        return _remark("many_words", words=self.words, few=few) if self.words > few else None

    def slower(self) -> PlanRemark | None:
        """How many trials there are at a slow pace."""
        slow = trials_in(self.practice, "slow")
        return _remark("slower", slow=slow, each=max(slow // self.words, 0)) if slow < self.trials else None


def facts() -> tuple[Fact, ...]:
    """The numbers every plan rests on, each with its source."""
    return (
        _fact("pace", "pace.fast", "trials", "minutes"),
        _fact("pace_slow", "pace.slow", "trials", "minutes"),
        _fact("run", "run", "trials"),
        _fact("rest", "rest", "minutes"),
        _fact("block", "block", "least", "most"),
        _fact("enough", "enough", "trials"),
        _fact("few", "targets", "few"),
        _fact("probe", "probe", "words"),
        _fact("handover", "handover", "minutes"),
    )


def _fact(key: str, name: str, *numbers: str) -> Fact:
    table = assumed(name)
    return Fact(key, tuple((number, f"{table[number]:g}") for number in numbers), table.rule, table.cited)


def _remark(key: str, **values: int) -> PlanRemark:
    return PlanRemark(key, tuple((name, str(value)) for name, value in values.items()))


def _ceiling(minutes: float) -> int:
    return -int(-minutes // 1)


def trial_runs(counts: Sequence[int], order: str, seed: int) -> tuple[tuple[int, ...], ...]:
    """Trials cut into runs with a break between: each a sequence of word numbers (from 0).

    `counts`: trials of each word. Every word comes exactly as often as its count says. The same seed gives the same order.
    """
    most = int(assumed("run")["trials"])
    if order == "blocked":
        return _cut_between(_blocked(counts), most)
    sequence = _mixed(counts) if order == "mixed" else _random(counts, seed)
    ends = list(accumulate(_shares(len(sequence), -(-len(sequence) // most)))) if sequence else []
    return tuple(tuple(sequence[start:end]) for start, end in zip([0, *ends], ends))


def _blocked(counts: Sequence[int]) -> list[list[int]]:
    """Blocks of one word each, none longer than the rule allows; a word with more trials comes back later."""
    most = int(assumed("block")["most"])
    rounds = [_shares(count, -(-count // most)) for count in counts]
    passes = max(map(len, rounds), default=0)
    return [[word] * parts[turn] for turn in range(passes) for word, parts in enumerate(rounds) if turn < len(parts)]


def _shares(total: int, parts: int) -> list[int]:
    """`total` in so many whole parts as even as can be, larger ones first."""
    return [total // parts + (number < total % parts) for number in range(parts)]


def _cut_between(blocks: Sequence[Sequence[int]], most: int) -> tuple[tuple[int, ...], ...]:
    """Runs of about `most` trials whose breaks never fall inside a block."""
    total = sum(map(len, blocks))
    wanted = -(-total // most)
    ends = list(accumulate(map(len, blocks)))
    cuts = {0, len(blocks)}
    for number in range(1, wanted):
        ideal = number * total / wanted
        cuts.add(1 + min(range(len(ends)), key=lambda at: abs(ends[at] - ideal)))
    borders = sorted(cuts)
    parts = (blocks[start:end] for start, end in zip(borders, borders[1:]))
    return tuple(tuple(word for block in part for word in block) for part in parts)


def _mixed(counts: Sequence[int]) -> list[int]:
    """Words in small sets; within a set a few trials of each by turns, until the set is done."""
    words, turn = int(assumed("mixed")["words"]), int(assumed("mixed")["trials"])
    sets = _even_sets(range(len(counts)), words)
    out: list[int] = []
    for group in sets:
        left = {word: counts[word] for word in group}
        while any(left.values()):
            for word in group:
                now = min(turn, left[word])
                out += [word] * now
                left[word] -= now
    return out


def _even_sets(words: Sequence[int], most: int) -> list[Sequence[int]]:
    """Sets of at most `most` words, sizes as even as can be: four words are two and two, not three and one."""
    if not words:
        return []
    sizes = _shares(len(words), -(-len(words) // most))
    ends = list(accumulate(sizes))
    return [words[end - size : end] for size, end in zip(sizes, ends)]


def _random(counts: Sequence[int], seed: int) -> list[int]:
    """Shuffled rounds in which each word comes once, so that no word comes more than twice in a row or stays away long."""
    chance = Random(seed)
    left = list(counts)
    out: list[int] = []
    while any(left):
        deck = [word for word, count in enumerate(left) if count]
        chance.shuffle(deck)
        out += deck
        for word in deck:
            left[word] -= 1
    return out


@dataclass(frozen=True, slots=True)
class PracticeRule:
    """One published or customary number. `low`, `high`: None where the rule gives no number. `provenance`: how it was read."""

    rule: str
    parameter: str
    low: float | None
    high: float | None
    unit: str
    source: str
    provenance: str
    note: str

    @property
    def cited(self) -> str:
        """Source and, where the work itself was not read, how the number is known."""
        marks = {"text": "", NO_SOURCE: ""}
        mark = marks.get(self.provenance, f" ({self.provenance})")
        return f"{self.source}{mark}"


@dataclass(frozen=True, slots=True)
class Assumed:
    """What `rules/session_plan.toml` says of one thing: its numbers, and the rule they rest on ("" for none)."""

    name: str
    numbers: Mapping[str, float]
    rule: str

    def __getitem__(self, key: str) -> float:
        return self.numbers[key]

    @property
    def cited(self) -> str:
        """The source of the value, or that it has none."""
        return practice_rules()[self.rule].cited if self.rule else NO_SOURCE


@cache
def practice_rules() -> dict[str, PracticeRule]:
    """Every rule by its id, in file order."""
    return {row["rule"]: _rule(row) for row in read_tsv(rules_path("practice_parameters.tsv"))}


def minutes_allowed() -> tuple[int, int]:
    """The shortest and the longest session that can be planned, in minutes."""
    limits = assumed("limits")
    return int(limits["least_minutes"]), int(limits["most_minutes"])


def trials_allowed() -> tuple[int, int]:
    """The fewest and the most trials that a session can aim at."""
    return 1, int(assumed("limits")["most_trials"])


@cache
def assumed(name: str) -> Assumed:
    """One table of the plan's assumptions, such as "rest" or "pace.fast". KeyError for a name that is not there."""
    table: Any = read_toml(rules_path("session_plan.toml"))
    for part in name.split("."):
        table = table[part]
    numbers = {key: float(value) for key, value in table.items() if key != "rule"}
    return Assumed(name, numbers, table["rule"])


def _rule(row: Mapping[str, str]) -> PracticeRule:
    low, high = (float(row[key]) if row[key] else None for key in ("low", "high"))
    texts = (row[key] for key in ("unit", "source", "provenance", "note"))
    return PracticeRule(row["rule"], row["parameter"], low, high, *texts)
