"""The session note: facts in four parts, gaps marked, no judgment of its own."""

from __future__ import annotations

from approx.reports.document import NoteFacts, Paragraph, Trials, TriedTarget
from approx.reports.documents.documents import document_lines
from approx.reports.text.notes import data_lines, note_document

# One session's trial log of the invented scenario (section 8): 50 trials, 33 reached, 14 one part off, 3 not; 6 without help, 5 reached.
SESSION = NoteFacts(
    "K07", "2026-04-07", 10, 45,
    targets=(
        TriedTarget("mud", "mʌ", Trials(8, 2, 0)),
        TriedTarget("more", "mo", Trials(9, 1, 0), Trials(5, 1, 0)),
    ),
    total=Trials(33, 14, 3), alone=Trials(5, 1, 0), probes=(("set 1", 7, 10),),
    before=(TriedTarget("mud", "mʌ", Trials(4, 3, 3)), TriedTarget("more", "mɔɹ", Trials(1, 0, 9))), before_date="2026-04-02",
)  # fmt: skip


def gaps(facts: NoteFacts, language: str = "en") -> list[str]:
    return [block.text for block in note_document(facts, language).blocks if isinstance(block, Paragraph) and block.gap]


def test_numbers_of_the_trial_log() -> None:
    text = "\n".join(data_lines(SESSION))
    assert "33 of 50 reached the target form, 14 close (one part off), 3 not reached" in text
    assert "Without cues: 5 of 6" in text
    assert "Probe of set 1, no cues: 7 of 10" in text


def test_the_session_before_is_set_beside_the_same_form_only() -> None:
    mud, more = data_lines(SESSION)[-2:]
    assert mud == "mud, target form mʌ: 8 of 10 reached; before (April 2, 2026) 4 of 10."
    assert more == "more, target form mo: 9 of 10 reached; without cues 5 of 6."


def test_what_is_missing_is_a_gap_and_the_view_always_is() -> None:
    assert len(gaps(SESSION)) == 3
    full = NoteFacts("K07", "2026-04-07", said="Mother: says up at home.", probes=(("set 1", 7, 10),), plan="Same set.")
    assert len(gaps(full)) == 1 and "left blank on purpose" in gaps(full)[0]
    assert len(gaps(NoteFacts("K07", "2026-04-07"))) == 4


def text_of(facts: NoteFacts, language: str = "en") -> str:
    return "\n".join(line.removeprefix("  ") for line in document_lines(note_document(facts, language)))


def test_what_was_noted_is_kept_as_it_stands() -> None:
    said = 'Says "up" & <more> — 3 times'
    text = text_of(NoteFacts("K07", "2026-04-07", said=said, observed="Tired."))
    assert said in text and "Tired." in text


def test_four_parts_in_order_in_both_languages() -> None:
    for language in ("en", "es"):
        text = text_of(SESSION, language)
        places = [text.index(f"\n{letter}: ") for letter in "SOAP"]
        assert places == sorted(places)
        assert "{" not in text


def test_practice_with_help_is_not_called_learning() -> None:
    assert "practice, not learning" in text_of(SESSION)
    assert "practice, not learning" not in text_of(NoteFacts("K07", "2026-04-07", probes=(("set 1", 7, 10),)))
