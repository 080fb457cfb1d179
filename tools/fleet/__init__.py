"""Answers from which the shipped fleet is worked out."""
