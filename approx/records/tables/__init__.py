"""What is kept: children, samples, sessions, targets, probes, notes; one file a kind, each change checked and undoable."""

__all__ = [
    "checks",
    "child_records",
    "note_records",
    "progress_records",
    "sample_records",
    "session_records",
    "target_records",
    "trash",
    "versions",
]
