"""Causes from a recording: the model forced by it, features, evidence of each hypothesis."""
