"""A session: targets, order and number of trials, minutes, with the source of each number."""
