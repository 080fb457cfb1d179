"""What can be said of an aircraft from what a person can measure: pure formulas, source beside each."""
