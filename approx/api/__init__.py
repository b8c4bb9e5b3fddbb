"""The public functions, a topic a file; `approx.score` and its sisters are these, loaded when they are first used."""
