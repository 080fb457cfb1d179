"""Scoring: pure functions from the record of a run and the rubric to a scorecard."""
