"""An aircraft of one's own: the questions, what follows from them, and the airframe made of it."""
