"""What is made of causes: the ranking in words, curves and moments, and a drill that shows the failure."""
