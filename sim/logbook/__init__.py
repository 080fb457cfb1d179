"""What people have done: who can do what by now, what they may have forgotten, what comes next."""
