"""A session from its minutes: which words, how often, in what order, with which breaks; what does not fit is said."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from approx.practice.session.parameters import assumed
from approx.practice.session.trial_order import trial_runs
from approx.problems import Problem
from approx.wording import worded


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
