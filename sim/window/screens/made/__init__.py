"""The sheets on which a drill is made, and those on which one's own drills lie."""
