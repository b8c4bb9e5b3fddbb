"""What is kept: children, samples, sessions, targets, probes, notes; one file a kind, each change checked and undoable."""
