"""Bench work: checks that yield readings, and calibrations done by the person."""
