"""A run or a drill as one file that can be given away, and opened safely whoever made it."""
