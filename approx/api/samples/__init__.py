"""What a child said: samples scored and explained, pairs of forms, two samples or two transcribers, probes over time."""
